"""A dress form is a body that no survey of people says anything about."""

from __future__ import annotations

from firsthand.body import Body, Measurement, check_body


def test_a_dress_form_is_not_judged_by_a_survey_of_people() -> None:
    measures = {"stature": 1710.0, "chest_girth": 940.0, "waist_girth": 760.0, "hip_girth": 2500.0}
    form = Body("form", "Form", {k: Measurement(k, v) for k, v in measures.items()}, table="female", form=True)
    (found,) = check_body(form, ())
    assert found.code == "body-not-judged"
    assert found.message == "Form: not judged, a dress form"
