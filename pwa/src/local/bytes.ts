const encoder = new TextEncoder();

/** How many bytes words take on their way and at the server, which both count in UTF-8. */
export const bytesIn = (words: string): number => encoder.encode(words).length;
