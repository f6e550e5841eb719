import * as v from 'valibot';
import { hashText, name } from './text.js';

/** Pictures and files kept as blobs beside an entry. */
export const attachments = v.pipe(
	v.array(v.strictObject({ blob: hashText, name, mediaType: name })),
	v.minLength(1),
	v.maxLength(16),
);
