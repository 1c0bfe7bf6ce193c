// The page behind a link works without this: it only puts the reader's own
// clock in the place of the daemon's.
import { localise } from "./clock.js";

localise(document);
