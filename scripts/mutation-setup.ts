import { configureGlobal } from "fast-check";

/** A property that fails has noticed the mutant: its counterexample need not be made small. */
configureGlobal({ endOnFailure: true });
