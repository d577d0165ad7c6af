// Which pairs of contacts are read at an outlet, in the order of the screens.

import { FOUR_CONTACTS, SPLIT_PHASE, THREE_WIRE } from "../engine/contacts.js";

/** @param {string|undefined} outlet @returns {boolean} */
export const hasTwoLegs = (outlet) => outlet === FOUR_CONTACTS;

/** @param {string|undefined} outlet */
const contactsOf = (outlet) => (hasTwoLegs(outlet) ? SPLIT_PHASE : THREE_WIRE);

/**
 * @param {string|undefined} outlet
 * @returns {string[]} the pairs between its contacts; a lamp may sit between any of them
 */
export const pairsOf = (outlet) => contactsOf(outlet).usual;

/** @param {string|undefined} outlet @returns {string[]} each contact with an earth outside the outlet */
export const earthPairsOf = (outlet) => contactsOf(outlet).to_earth;

/** @param {string|undefined} outlet @returns {string[]} the pairs that are read again under load */
export const loadedPairsOf = (outlet) => contactsOf(outlet).loaded;

/** @param {string|undefined} outlet @returns {string[]} the pairs that a load may hang across */
export const acrossOf = (outlet) => contactsOf(outlet).acrosses;

/**
 * @param {string|undefined} outlet
 * @returns {string} what the fields of its lamps' names begin with: the tester of another outlet is another tester
 */
export const lampPrefix = (outlet) => (hasTwoLegs(outlet) ? "lamp4" : "lamp");
