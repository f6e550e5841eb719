/** Stands under every judgement that people read. */
export const cautions =
	'A decision aid, not a certificate: approved maintenance data, the flight manual, local rules and the\n' +
	'judgement of licensed staff govern. Limits and coefficients are those of the document that was given.\n';
