"""JSON Schemas of all files of a workroom and of what commands answer, generated from the models.

``python -m firsthand.workroom.schemas`` writes them into ``json_schemas/`` beside this file, from where they are shipped.
"""

from __future__ import annotations

import json
from pathlib import Path

from firsthand.workroom.schema import ANSWERS, FILES

__all__ = ["json_schemas", "main"]

FOLDER = Path(__file__).parent / "json_schemas"

_PLACES = {
    "workroom": "workroom.toml",
    "machines": "machines.toml",
    "wearer": "wearers/ID.toml",
    "fabrics": "shelf/fabrics.toml",
    "haberdashery": "shelf/haberdashery.toml",
    "pattern": "patterns/ID/pattern.toml",
    "piece": "patterns/ID/pieces/PIECE.json",
    "costume": "costumes/ID/costume.toml",
    "fitting": "costumes/ID/fittings/DATE.toml",
    "pieces": "PIECES.json of firsthand alter",
    "stack": "STACK.toml of firsthand alter",
    "alter-answer": "what firsthand alter --json says",
}


def json_schemas() -> dict[str, bytes]:
    """The JSON Schema of every kind of file and answer, by file name.

    Examples
    --------
    >>> sorted(json_schemas())[:2]
    ['alter-answer.json', 'costume.json']
    """
    made = {}
    for name, model in {**FILES, **ANSWERS}.items():
        schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **model.model_json_schema()}
        schema["title"] = _PLACES[name]
        made[f"{name}.json"] = (json.dumps(schema, indent=1, ensure_ascii=False) + "\n").encode()
    return made


def main() -> None:
    """Write them."""
    FOLDER.mkdir(exist_ok=True)
    for name, contents in json_schemas().items():
        (FOLDER / name).write_bytes(contents)


if __name__ == "__main__":
    main()
