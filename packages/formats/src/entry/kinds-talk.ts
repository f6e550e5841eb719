import * as v from 'valibot';
import { attachments } from './attachment.js';
import { fieldId, hashList, hashText, longText, sentence } from './text.js';

export const reply = v.strictObject({
	to: hashText,
	answer: v.optional(v.picklist(['seen', 'after-landing', 'cannot'])),
	text: v.optional(sentence),
});

/** Said by anybody about an entry (`to`) or the check as a whole; `asks` when an answer is wanted. */
export const remark = v.strictObject({
	to: v.nullable(hashText),
	asks: v.boolean(),
	text: v.pipe(sentence, v.minLength(1)),
	attachments: v.optional(attachments),
});

/** Text that is rewritten as a whole; two that do not replace each other stand side by side. */
export const narrative = v.strictObject({
	subject: fieldId,
	text: longText,
	replaces: hashList,
	attachments: v.optional(attachments),
});
