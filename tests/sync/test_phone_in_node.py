"""The phone in Node is as strict about a transaction's end as a browser; one script tells it of both."""

import pytest

from tests.sync.held import Held

# Work between two requests of one transaction; what comes of the second.
TRIAL = """const held = await new Promise((done) => {
  indexedDB.open("trial", 1).onupgradeneeded = ({ target }) => {
    target.result.createObjectStore("rows");
    target.addEventListener("success", () => done(target.result));
  };
});
const rows = held.transaction("rows", "readwrite").objectStore("rows");
await new Promise((done) => (rows.put(1, 1).onsuccess = done));
%s
try {
  rows.put(2, 2);
  return "taken";
} catch ({ name }) {
  return name;
} finally {
  held.close();
}"""
BETWEEN = {
    "nothing": ("", "taken"),
    "promises that are settled": ("for (let i = 0; i < 50; i += 1) await Promise.resolve();", "taken"),
    "a message": (
        "await new Promise((done) => { const { port1, port2 } = new MessageChannel();"
        " port1.onmessage = () => { port1.close(); done(); }; port2.postMessage(0); });",
        "TransactionInactiveError",
    ),
    "another transaction": (
        'await new Promise((done) => (indexedDB.open("another").onsuccess = done));',
        "TransactionInactiveError",
    ),
}
in_between = pytest.mark.parametrize(("work", "comes_of_it"), BETWEEN.values(), ids=BETWEEN)


@in_between
def test_a_transaction_takes_nothing_more_once_it_waited_for_anything_else(
    held: Held, work: str, comes_of_it: str
) -> None:
    assert held.ask(TRIAL % work) == comes_of_it
