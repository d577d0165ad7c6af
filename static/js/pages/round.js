import { FlRound } from "../elements/round.js";

customElements.define("fl-round", FlRound);
