import { loadDraft, saveDraft, typist } from "../check/draft.js";
import { showWhen } from "../check/when.js";
import { clearProblem, fill, read, showProblems } from "../lib/fields.js";
import { html, show } from "../lib/html.js";
import { partOf } from "../lib/part-of.js";
import { changes } from "../outbox/queue.js";
import { mapOf } from "../rig/map-of.js";
import { sync } from "../sync/flush.js";
import { barsMarkup, findingsMarkup, lineOf, sentenceOf, setsMarkup, standingOf, verdictMarkup } from "./answer.js";
import { known } from "./known.js";
import { keepLoad, problemsOf, removeLoad, valuesOf, whereMarkup } from "./load-form.js";
import { loadsMarkup } from "./loads-markup.js";
import { cordOfMap, hungOn } from "./map-loads.js";
import { lossesMarkup, startsMarkup } from "./physics.js";
import { forbiddenSaid, modeFor, modesMarkup, noticesMarkup, rigsMarkup, sourceMarkup, suppliedBy } from "./sources.js";
import { cordsOf, newState, ofRig, problemsIn, RANGES } from "./state.js";
import { planTables } from "./tables.js";
import { answerOf, itemsOf, mainOfRig } from "./work.js";

/** @import { Values } from "../check/entries.js" */
/** @import { Tables } from "../engine/plan-circuit.js" */
/** @import { Rig } from "../rig/rig-of.js" */
/** @import { MapBranches } from "./map-loads.js" */
/** @import { State } from "./state.js" */
/** @import { LastArrival, Supply } from "./supply.js" */
/** @import { Answer, Item } from "./work.js" */

const PAGE = "plan";
const NO_TABLES = "The tables of a plan are not on this phone yet. Open this page once with a signal.";
const NO_ANSWER = "No answer: what is marked below cannot be read as it stands.";

/** What can run here: the loads of a rig as switches, and what they come to at once. */
export class FlPlan extends HTMLElement {
  /** @type {State} */
  #state = newState();
  /** @type {{rigs: Rig[], here: LastArrival|null}} */
  #known = { rigs: [], here: null };
  /** @type {Tables|null} */
  #tables = null;
  /** @type {MapBranches} */
  #hung = { loads: [], places: [], dead: [] };
  /** @type {Answer|null} */
  #answer = null;
  /** @type {Item|null} the load on screen */
  #item = null;

  async connectedCallback() {
    this.#state = (await loadDraft(PAGE)) ?? { ...newState(), account: await typist().catch(() => null) };
    await this.#know();
    for (const type of ["submit", "click", "input"]) this.addEventListener(type, this);
    partOf(this, "[data-part=evening-fold]").addEventListener("toggle", () => this.#offerEvening(), { once: true });
    for (const type of ["hashchange", "pagehide"]) window.addEventListener(type, this);
    changes.addEventListener("changed", this);
    this.#show();
    sync().catch((error) => console.warn(error));
  }

  disconnectedCallback() {
    for (const type of ["hashchange", "pagehide"]) window.removeEventListener(type, this);
    changes.removeEventListener("changed", this);
  }

  /** @param {Event} event @returns {unknown} */
  handleEvent(event) {
    const { type, target } = event;
    if (type === "hashchange") return this.#show();
    if (type === "changed") return this.#learn();
    if (type === "pagehide") return this.#keepState();
    if (type === "submit") return this.#submitted(event);
    if (type === "click") return this.#tapped(/** @type {Element} */ (target).closest("button"));
    return this.#typedAt(/** @type {HTMLInputElement} */ (target));
  }

  async #know() {
    this.#tables = await planTables();
    this.#known = await known();
  }

  /** Records came; what is on screen stays where it is. */
  async #learn() {
    await this.#know();
    if (!this.#form("plan").hidden) this.#show(false);
  }

  /** @param {"plan"|"load"} view */
  #form(view) {
    return partOf(this, `[data-view=${view}]`, HTMLFormElement);
  }

  #show(isNew = true) {
    const wanted = new URLSearchParams(location.hash.slice(1));
    this.#chooseRig(wanted.get("rig"));
    const isLoad = wanted.has("load") || wanted.has("add");
    this.#hang();
    const items = this.#items();
    this.#item = items.find(({ id }) => id === wanted.get("load")) ?? null;
    const view = isLoad && (this.#item || wanted.has("add")) ? "load" : "plan";
    this.#form("plan").hidden = view !== "plan";
    this.#form("load").hidden = view !== "load";
    if (view === "load") this.#openLoad();
    else this.#openPlan();
    if (isNew) this.#arrive(view);
  }

  /** @param {"plan"|"load"} view */
  #arrive(view) {
    window.scrollTo(0, 0);
    partOf(this.#form(view), "h1").focus({ preventScroll: true });
  }

  /** @param {string|null} wanted */
  #chooseRig(wanted) {
    const { rigs, here } = this.#known;
    const ids = rigs.map(({ id }) => id);
    const chosen = [wanted, this.#state.rig].find((each) => each && ids.includes(each));
    this.#state.rig = chosen ?? ids[0] ?? "";
    const { told } = this.#state;
    // What nobody chose follows what was read: a visit before the first check settles nothing.
    if (!told.source_chosen || (told.source === "here" && !here)) told.source = here ? "here" : "typed";
  }

  get #rig() {
    return this.#known.rigs.find(({ id }) => id === this.#state.rig) ?? null;
  }

  get #plug() {
    return this.#rig?.body.outlet ?? "";
  }

  /** Asks the map what has power in the chosen mode. */
  #hang() {
    const { told } = this.#state;
    const map = this.#rig ? mapOf(this.#rig).map : null;
    const modes = Object.keys(map?.modes ?? {});
    if (!modes.includes(told.mode ?? "")) told.mode = modeFor(modes, told.source ?? "", this.#known.here);
    if (map && told["cord.0.awg"] === undefined) Object.assign(told, cordOfMap(map));
    this.#hung = map && this.#tables ? hungOn(map, told.mode ?? "", this.#tables) : { loads: [], places: [], dead: [] };
  }

  #items() {
    return itemsOf(this.#hung, ofRig(this.#state));
  }

  /** Those that the chosen source feeds. @param {Item[]} items */
  #fed(items) {
    const isBattery = this.#state.told.source === "battery";
    const byInverter = items.filter(({ hung }) => hung.from === "inverter");
    if (isBattery) return byInverter.length ? byInverter : items;
    const leg = this.#supply()?.leg;
    return items.filter(
      ({ hung: { from, leg: own } }) =>
        from === "inlet" && !(leg && leg !== "both" && own && own !== "both" && own !== leg),
    );
  }

  /** @returns {Supply|null} */
  #supply() {
    return this.#tables && suppliedBy(this.#state, this.#known.here, this.#plug, this.#tables);
  }

  #openPlan() {
    const form = this.#form("plan");
    const { told, rig } = this.#state;
    partOf(this, "[data-part=rig]").textContent = this.#rig ? `: ${this.#rig.name}` : "";
    const rigs = partOf(this, "[data-part=rigs]");
    rigs.hidden = this.#known.rigs.length === 1;
    show(rigs, rigsMarkup(this.#known.rigs, rig));
    const modes = this.#rig ? Object.keys(mapOf(this.#rig).map.modes) : [];
    show(partOf(this, "[data-part=modes]"), modesMarkup(modes));
    const fed = this.#fed(this.#items());
    show(partOf(this, "[data-part=loads]"), loadsMarkup(fed));
    partOf(this, "[data-part=loads-set]").hidden = !fed.length;
    fill(form, { ...told, ...this.#ticks(fed) });
    this.#keeping("shown").catch((error) => console.error(error));
    this.#work();
  }

  /** @param {Item[]} fed */
  #ticks(fed) {
    return { on: fed.filter(({ isOn, watts }) => isOn && watts !== null).map(({ id }) => id) };
  }

  /** Works the plan out and shows it; what cannot be read gives no answer. */
  #work() {
    const form = this.#form("plan");
    const told = this.#state.told;
    const kept = this.#rig?.newest("plan")[0]?.body.second ? "both" : "one";
    showWhen(form, /** @type {Values} */ ({ ...told, legs: this.#supply()?.leg ? "yes" : "", kept }));
    const problems = problemsIn(told, RANGES);
    for (const place of form.querySelectorAll("[data-problem]")) this.#tell(place, problems);
    const failed = this.#answerFrom(problems);
    if (failed) this.#noAnswer(failed);
  }

  /** @param {Element} place @param {Record<string, string>} problems */
  #tell(place, problems) {
    const { dataset } = /** @type {HTMLElement} */ (place);
    const problem = problems[dataset.problem ?? ""] ?? "";
    place.textContent = problem;
    /** @type {HTMLElement} */ (place).hidden = !problem;
  }

  /** @param {Record<string, string>} problems @returns {string} why there is no answer, or "" */
  #answerFrom(problems) {
    if (!this.#tables) return NO_TABLES;
    if (Object.keys(problems).length) return NO_ANSWER;
    const forbidden = forbiddenSaid(this.#state.told, this.#known.here);
    if (forbidden) return forbidden;
    const supply = this.#supply();
    if (!supply) return "Note below what the battery holds, and what the inverter gives.";
    const fed = this.#fed(this.#items());
    const items = fed.filter(({ watts }) => watts !== null);
    const main = supply.battery ? undefined : mainOfRig(this.#hung);
    try {
      const asked = { supply, cords: cordsOf(this.#state.told), limitAmps: main?.amps ?? null, items };
      this.#answer = answerOf(asked, this.#tables);
    } catch (error) {
      console.error(error);
      return "No answer: it could not be worked out. Open this page once with a signal.";
    }
    this.#showAnswer(supply, fed, this.#answer, this.#tables);
    return "";
  }

  /** @param {Supply} supply @param {Item[]} fed @param {Answer} answer @param {Tables} tables */
  #showAnswer(supply, fed, answer, tables) {
    const { told } = this.#state;
    const unknown = fed.filter(({ watts }) => watts === null);
    this.#part("source", sourceMarkup(supply, told, this.#known.here));
    const isBoth = Boolean(supply.second);
    const about = { told, here: this.#known.here, plug: this.#plug, rig: this.#rig, fed, isBoth };
    this.#part("notices", noticesMarkup(about));
    this.#part("answer", verdictMarkup(answer, unknown));
    const line = partOf(this, "[data-part=line]");
    line.textContent = lineOf(answer);
    line.dataset.plan = standingOf(answer);
    this.#part("bars", answer.on.length ? barsMarkup(answer, tables, supply) : html``);
    this.#part("findings", findingsMarkup(answer));
    this.#part("sets", setsMarkup(answer));
    this.#part("starts", startsMarkup(answer, tables));
    this.#part("losses", lossesMarkup(answer, tables));
    this.#showMore(supply, answer, tables).catch((error) => console.error(error));
    partOf(this, "[data-part=others]").textContent = this.#othersSaid(fed);
  }

  /**
   * What stands behind folds comes after the rest.
   * @param {Supply} supply
   * @param {Answer} answer
   * @param {Tables} tables
   */
  async #showMore(supply, answer, tables) {
    partOf(this, "[data-part=battery-fold]").hidden = !supply.battery;
    partOf(this, "[data-part=cords-fold]").hidden = Boolean(supply.battery);
    this.#part("cords", html``);
    const { batteryMarkup, cordsMarkup, rechargeMarkup } = await import("./behind-folds.js");
    if (this.#answer !== answer) return;
    this.#part("battery", supply.battery ? batteryMarkup(answer, supply.battery) : html``);
    this.#part("recharge", supply.battery ? rechargeMarkup(supply.battery, this.#state.told, tables) : html``);
    if (!supply.battery) this.#part("cords", cordsMarkup(answer, supply, this.#state.told, tables));
  }

  /** @param {string} name @param {ReturnType<typeof html>} markup */
  #part(name, markup) {
    show(partOf(this, `[data-part=${name}]`), markup);
  }

  /** @param {Item[]} fed */
  #othersSaid(fed) {
    const others = this.#items().filter((item) => !fed.some(({ id }) => id === item.id));
    const names = others.map(({ name }) => name).join(", ");
    const { dead } = this.#hung;
    return [
      others.length ? `Fed by another source or leg, not in this plan: ${names}.` : "",
      dead.length ? `Without power in this mode: ${dead.join(", ")}.` : "",
    ]
      .filter(Boolean)
      .join(" ");
  }

  /** @param {string} why */
  #noAnswer(why) {
    this.#answer = null;
    partOf(this, "[data-part=line]").textContent = "";
    for (const name of ["bars", "findings", "sets", "starts", "losses", "notices"]) this.#part(name, html``);
    const supply = this.#supply();
    this.#part("source", supply ? sourceMarkup(supply, this.#state.told, this.#known.here) : html``);
    this.#part("answer", html`<p class="notice">${why}</p>`);
    if (why !== NO_TABLES) partOf(this, "[data-part=supply]", HTMLDetailsElement).open = true;
  }

  /** @param {HTMLInputElement} target */
  #typedAt(target) {
    const form = target.closest("form");
    if (form === this.#form("load")) {
      clearProblem(form, target.name);
      return showWhen(form, this.#loadValues());
    }
    if (target.name === "rig") return location.replace(`#rig=${target.value}`);
    const { on, ...told } = read(this.#form("plan"));
    const before = { ...this.#state.told };
    this.#state.told = { ...before, .../** @type {Record<string, string>} */ (told) };
    if (target.name === "source") this.#state.told.source_chosen = "yes";
    if (target.name === "on") this.#switched(/** @type {string[]} */ (on ?? []));
    else if (["source", "mode", "leg", "outlet"].includes(target.name)) this.#rehang(target.name);
    else this.#work();
    this.#speak();
    this.#keepState();
  }

  /** Another source or mode feeds other loads. @param {string} changed */
  #rehang(changed) {
    if (changed === "source") this.#state.told.mode = "";
    this.#hang();
    this.#openPlan();
  }

  /** @param {string[]} on ids of what is switched on, of those on the page */
  #switched(on) {
    const own = ofRig(this.#state);
    const shown = this.#fed(this.#items()).filter(({ watts }) => watts !== null);
    const off = shown.filter(({ id }) => !on.includes(id)).map(({ id }) => id);
    const others = own.off.filter((id) => !shown.some((item) => item.id === id));
    own.off = [...others, ...off];
    this.#work();
  }

  #speak() {
    if (this.#answer) partOf(this, "[data-part=spoken]").textContent = sentenceOf(this.#answer);
  }

  /** @param {HTMLElement|null} button */
  #tapped(button) {
    if (button?.dataset.set && this.#answer) {
      const kept = this.#answer.sets[Number(button.dataset.set)]?.map(({ id }) => id) ?? [];
      fill(this.#form("plan"), { on: kept });
      this.#switched(kept);
      this.#speak();
      this.#keepState();
      partOf(this, "[data-part=answer]").scrollIntoView({ block: "start", behavior: "instant" });
    }
    if (button && "read" in button.dataset) this.#keeping("reading").catch((error) => console.error(error));
    if (button && "remove" in button.dataset && this.#item) {
      removeLoad(ofRig(this.#state), this.#item.id);
      this.#leaveLoad();
    }
  }

  #loadValues() {
    const isAdded = this.#item === null || this.#item.isAdded;
    return /** @type {Values} */ ({ ...read(this.#form("load")), new: isAdded ? "yes" : "" });
  }

  #openLoad() {
    const form = this.#form("load");
    form.reset();
    partOf(this, "[data-part=load-title]").textContent = this.#item?.name ?? "Something plugged in";
    this.#part("where", whereMarkup(this.#hung));
    showProblems(form, {});
    fill(form, valuesOf(this.#item));
    showWhen(form, this.#loadValues());
    partOf(form, "[data-remove]").hidden = !this.#item?.isAdded;
  }

  /** @param {Event} event */
  #submitted(event) {
    event.preventDefault();
    if (event.target !== this.#form("load")) return void this.#keeping("plan").catch((error) => console.error(error));
    const told = /** @type {Record<string, string>} */ (read(this.#form("load")));
    const isAdded = this.#item === null || this.#item.isAdded;
    const problems = problemsOf(told, isAdded);
    showProblems(this.#form("load"), problems);
    if (Object.keys(problems).length) return;
    keepLoad(ofRig(this.#state), this.#item?.id ?? null, told);
    this.#leaveLoad();
  }

  /** A plan, a reading of the one kept last, or that one shown. @param {"plan"|"reading"|"shown"} what */
  async #keeping(what) {
    const { Keeping } = await import("./behind-folds.js");
    const { told, account } = this.#state;
    const about = { told, account, rig: this.#rig, answer: this.#answer, supply: this.#supply(), tables: this.#tables };
    await new Keeping(this.#form("plan"), about, () => this.#learn())[what]();
  }

  async #offerEvening() {
    const { offerEvening } = await import("./behind-folds.js");
    offerEvening(partOf(this, "[data-part=evening]"));
  }

  #leaveLoad() {
    this.#keepState();
    location.hash = "plan";
  }

  #keepState() {
    saveDraft(PAGE, this.#state).catch((error) => console.error(error));
  }
}
