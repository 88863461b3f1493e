/** Measures what its one argument, as JSON, asks for, and prints the figures as a line of JSON. */
import process from "node:process";
import { readStream } from "./bare.ts";
import { recover } from "./cut.ts";
import { growth } from "./growth.ts";
import { site } from "./site.ts";
import { workload } from "./workload.ts";

const WAYS = { site, workload, growth, recover, readStream };
const { what, ...asked } = JSON.parse(process.argv[2] ?? "{}");
const told = await WAYS[what as keyof typeof WAYS](asked);
process.stdout.write(`${JSON.stringify(told)}\n`, () => process.exit(0));
