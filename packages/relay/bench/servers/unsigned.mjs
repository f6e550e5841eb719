// Loaded before everything in each thread of a host: every signature holds without being looked at. For telling apart
// what checking signatures costs from all the rest; never part of the product.
globalThis.crypto.subtle.verify = async () => true;
