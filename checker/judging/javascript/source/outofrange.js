/** A reading that a function or a sum cannot serve: outside its range, or not a thing it knows. Said in trade words. */
export class OutOfRange extends Error {}
