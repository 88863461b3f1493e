/**
 * The sentences of the checks, kept out of the first page: a screen that shows one of them imports this
 * file for its effect (parts.test.ts holds it to that). The offline install has it like every other chunk.
 */
import { catalogue } from "virtual:catalogue/checks";
import { addSentences } from ".";

addSentences(catalogue);
