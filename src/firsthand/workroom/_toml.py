"""Plain rows as TOML that people like to read and edit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

__all__ = ["toml_table", "toml_text"]


def toml_text(rows: Mapping[str, Any]) -> str:
    """TOML with inline lists and a table for each row, in the order given."""
    import tomlkit

    document = tomlkit.document()
    for key, value in rows.items():
        if isinstance(value, list) and value and isinstance(value[0], dict):
            array = tomlkit.aot()
            for row in value:
                array.append(toml_table(row))
            document.add(key, array)
        elif isinstance(value, dict):
            document.add(key, toml_table(value))
        else:
            document.add(key, value)
    return tomlkit.dumps(document)


def toml_table(row: Mapping[str, Any]) -> Any:
    import tomlkit

    table = tomlkit.table(is_super_table=bool(row) and all(isinstance(value, dict) for value in row.values()))
    for key, value in row.items():
        table.add(key, toml_table(value) if isinstance(value, dict) and not _short(value) else _inline(value))
    return table


def _short(row: Mapping[str, Any]) -> bool:
    return bool(row) and all(isinstance(value, list) for value in row.values())


def _inline(value: Any) -> Any:
    import tomlkit

    if isinstance(value, dict):
        table = tomlkit.inline_table()
        table.update({key: _inline(item) for key, item in value.items()})
        return table
    if isinstance(value, list):
        array = tomlkit.array()
        array.extend(_inline(item) for item in value)
        return array
    return value
