"""Roles: which layer of a garment what is cut of a piece becomes.

A role is a plain word, and a pattern may use any. The words in this table are understood; any other is taken for an outer
layer, like ``shell`` and ``contrast``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

__all__ = ["BACKINGS", "INTERFACINGS", "ROLES", "UNDER_ROLES", "Layer", "Role", "is_backing", "layer_of"]


class Layer(StrEnum):
    """Where a role lies in the finished garment."""

    OUTER = "outer"
    """It shows, and goes round the body."""
    INNER = "inner"
    """It lies beneath another layer, as a part of its own with its own seams."""
    BACKING = "backing"
    """It lies behind another part, and the two are handled as one from then on."""


@dataclass(frozen=True, slots=True)
class Role:
    """One role that is understood."""

    layer: Layer
    words: str


ROLES: Mapping[str, Role] = MappingProxyType({
    "shell": Role(Layer.OUTER, "the cloth that shows"),
    "contrast": Role(Layer.OUTER, "a second cloth that shows"),
    "lining": Role(Layer.INNER, "made up by itself and sewn in"),
    "facing": Role(Layer.INNER, "turned to the inside along an edge"),
    "padding": Role(Layer.INNER, "wadding or foam that gives shape"),
    "interfacing": Role(Layer.BACKING, "stiffens a part; fused or basted on"),
    "interlining": Role(Layer.BACKING, "warms or fills a part"),
    "mounting": Role(Layer.BACKING, "basted behind a part to carry it"),
    "underlining": Role(Layer.BACKING, "another word for mounting"),
})  # fmt: skip
"""Every role that is understood. Source: common practice; the words are used so in dressmaking handbooks."""

UNDER_ROLES = frozenset(name for name, role in ROLES.items() if role.layer is not Layer.OUTER)
"""Roles that lie beneath another layer: they add no girth, and share no take-in with the outer layer."""

BACKINGS = frozenset(name for name, role in ROLES.items() if role.layer is Layer.BACKING)
"""Roles that lie behind another part and are sewn as one with it."""

INTERFACINGS = frozenset({"interfacing", "interlining"})
"""Backings that are asked for in a shop by that name; mountings are bought as cloth like any other."""


def layer_of(role: str) -> Layer:
    """The layer of a role.

    Examples
    --------
    >>> layer_of("mounting").value, layer_of("hood lining").value
    ('backing', 'outer')
    """
    return ROLES[role].layer if role in ROLES else Layer.OUTER


def is_backing(role: str, *, fusible: bool = False) -> bool:
    """Whether what is cut for a role goes behind another part: a backing by name, or anything that is ironed on.

    Examples
    --------
    >>> is_backing("interfacing"), is_backing("stay"), is_backing("stay", fusible=True)
    (True, False, True)
    """
    return fusible or layer_of(role) is Layer.BACKING
