export const barriers = {};
