"""Names of figures as a person reads them."""

from service.figures.domain.kinds import KEY_WORDS, KINDS, SUBJECTS, label_of, names_and_keys


def test_each_name_is_under_its_own_name_and_has_a_key():
    assert all(name == kind.name and kind.keys for name, kind in KINDS.items())
    assert len(list(names_and_keys())) == len({(kind.name, key) for kind, key in names_and_keys()})


def test_words_are_of_keys_that_there_are_and_subjects_stand_once():
    assert set(KEY_WORDS) <= {key for kind in KINDS.values() for key in kind.keys}
    assert len(SUBJECTS) == len(set(SUBJECTS)) == 8


def test_a_label_names_the_key_in_words():
    assert label_of("typical_use", "two_rate_low") == "typical use, two-rate meter low"
    assert label_of("vat_public_charging", "") == "charging in public"
    assert label_of("work_cost", "charging_point_7kw") == "cost, a 7 kW charging point"
    assert label_of("carbon_petrol_car", "small") == "petrol car, small"
    assert label_of("gone_name", "gone_key") == "gone name, gone key"
