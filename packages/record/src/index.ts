export * from './file/index.js';
export * from './fold/index.js';
export * from './hash/index.js';
export * from './pen/index.js';
export * from './proof/index.js';
export * from './set/index.js';
export * from './signing/index.js';
export { mayWrite, mayWriteSome, type RoleFacts, type RoleRule, roleTable, writes } from './wire/role-table.js';
export * from './writer/index.js';
