"""What a parameter takes, in words: of every one that any request may say."""

from __future__ import annotations

import pytest

from worker.styles import STYLES
from worker.values.parameter import Parameter, Unacceptable

EVERY = {
    (style.name, parameter.name): parameter
    for style in STYLES.values()
    for parameter in style.parameters
    if isinstance(parameter, Parameter)
}


@pytest.mark.parametrize("parameter", EVERY.values(), ids=["-".join(each) for each in EVERY])
def test_a_range_is_told_in_words(parameter: Parameter) -> None:
    told = parameter.range_text()
    if parameter.kind != "choice":
        assert told.startswith("from ") and (not parameter.unit or told.endswith(parameter.unit))
        return
    assert told == f"one of {', '.join(parameter.choices)}"
    with pytest.raises(Unacceptable, match=f"^{parameter.name} is {told}$"):
        parameter.parse("none of these")
