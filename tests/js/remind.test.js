import assert from "node:assert/strict";
import test from "node:test";

import { calendarEntry } from "../../static/js/check/remind.js";

// RFC 5545: lines end in CRLF (3.1) and hold at most 75 octets, a comma in a text is escaped (3.3.11), an alarm of no
// duration rings as the entry begins (3.8.6.3).
test("the entry begins and rings when half an hour is over", () => {
  const text = calendarEntry(new Date("2026-11-30T11:32:07.500Z"), new Date("2026-11-30T11:02:07.500Z"));
  const lines = text.split("\r\n");

  assert.ok(text.endsWith("END:VCALENDAR\r\n"));
  assert.ok(lines.every((line) => Buffer.byteLength(line) <= 75 && !line.includes("\n")));
  for (const line of ["DTSTART:20261130T113207Z", "DTSTAMP:20261130T110207Z", "TRIGGER:PT0S", "ACTION:DISPLAY"])
    assert.ok(lines.includes(line), line);
  const unfolded = text.replaceAll("\r\n ", "");
  assert.match(unfolded, /DESCRIPTION:Feel the shore plug: clearly warmer .*off\\, unplug\.\r\n/);
});
