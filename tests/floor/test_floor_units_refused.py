"""Whatever a file can hold in the place of a length is refused with a ValueError, never with a crash."""

from typing import Any

import pytest

from firsthand.units import parse_length


@pytest.mark.parametrize(
    "value", [[1.0], {}, None, True, "3/000 in", 10**400, float("nan"), float("inf"), 1e9, "9" * 5000, "", "cm"]
)
def test_what_is_no_length_is_refused(value: Any) -> None:
    with pytest.raises(ValueError):
        parse_length(value)
