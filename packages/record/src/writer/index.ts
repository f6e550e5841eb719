export { ChainWriter, type Circumstances, openRecord, type WriterClock, type WriterOptions } from './chain-writer.js';
