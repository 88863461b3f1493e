/** Travels with every mutation, so that a strange one can be traced to the build that made it. */
export const APP_VERSION: string = __APP_VERSION__;
