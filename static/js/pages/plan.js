// What can run here.
import { FlPlan } from "../planner/page.js";

customElements.define("fl-plan", FlPlan);
