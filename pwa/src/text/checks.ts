/**
 * The sentences of the checks, kept out of the first page: import this file for its effect wherever
 * one of them is shown. The offline install has it like every other chunk.
 */
import { catalogue } from "virtual:catalogue/checks";
import { addSentences } from ".";

addSentences(catalogue);
