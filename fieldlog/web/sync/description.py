"""The description of the records API, with the record's schema put in its place."""

import json
from functools import cache
from pathlib import Path
from typing import Any

SCHEMAS = Path(__file__).resolve().parents[3] / "schemas"


@cache
def openapi() -> dict[str, Any]:
    """Give the description that is served; schemas/record.schema.json stays the only source for records."""
    document: dict[str, Any] = json.loads((SCHEMAS / "openapi.json").read_text(encoding="utf-8"))
    text = (SCHEMAS / "record.schema.json").read_text(encoding="utf-8")
    record = json.loads(text.replace('"#/$defs/', '"#/components/schemas/'))
    document["components"]["schemas"] |= {"Record": _by_kind(record), **record["$defs"]}
    return document


def _by_kind(record: dict[str, Any]) -> dict[str, Any]:
    """Write "if it is of this kind, then" as one alternative a kind: the same records, for more tools."""
    kinds = [
        {
            "type": "object",
            "properties": record["properties"] | case["if"]["properties"] | case["then"]["properties"],
            "required": record["required"],
            "additionalProperties": False,
        }
        for case in record["allOf"]
    ]
    return {"description": record["description"], "oneOf": kinds}
