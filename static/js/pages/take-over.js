// Apart: the link of a rig that is handed over; only who is given one opens it.
import { FlTakeOver } from "../elements/take-over.js";

customElements.define("fl-take-over", FlTakeOver);
