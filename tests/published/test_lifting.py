"""The lifting equation against the published worked case, to its last digit."""

from on_paper import quantities

from scheduler.plan.views.weights import turn_share


def test_the_published_case_comes_out_as_printed():
    case = quantities("lifting")
    limit = (
        case["load_constant"]
        * case["case_height_share"]
        * case["case_turn_share"]
        * case["case_rhythm_share"]
    )
    assert round(limit, 2) == case["case_limit"]


def test_the_share_for_twist_is_the_one_of_the_published_case():
    case = quantities("lifting")
    assert round(float(turn_share(int(case["case_turn"]))), 2) == case["case_turn_share"]
