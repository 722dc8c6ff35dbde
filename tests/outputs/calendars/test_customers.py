"""A customer's own file: that customer's deliveries and nothing else, under a name that is safe and stays."""

import re

import pytest
from outputs.calendars.calendar_samples import MONDAY, events, publish, unfolded
from outputs.calendars.ics_rules import faults
from samples import demand, small_farm

from scheduler.outputs.file_names import file_name

FORM = "deliveries-{}.ics"
SAFE = re.compile(r"deliveries-[a-z0-9]+(-[a-z0-9]+)*\.ics")
TWO = (
    demand("HT-1 2026-03-22", 20, product="Leaf lettuce", filled=16, amount=20, state="short"),
    demand("HT-2 2026-03-22", 20, product="Basil", order="HT-2", filled=1),
    demand("LK-1 2026-03-22", 20, customer="Linnet Kitchen", product="Pak choi", order="LK-1"),
)


def customers(files):
    return sorted(name.removeprefix("calendars/") for name in files if "/deliveries-" in name)


def test_each_customer_has_a_file_with_products_amounts_and_days():
    files = publish(*MONDAY, demands=TWO)
    assert customers(files) == ["deliveries-harbour-table.ics", "deliveries-linnet-kitchen.ics"]
    (event,) = events(files["calendars/deliveries-harbour-table.ics"])
    assert event.summary == "Alder Quay delivers Leaf lettuce, Basil"
    assert event.description == "Leaf lettuce: 16 units\nBasil: 1 unit"


def test_packs_are_named_where_the_farm_knows_the_product():
    names = list(small_farm().products)
    assert names
    rows = tuple(demand(f"{n}", 20, product=name, filled=n + 1) for n, name in enumerate(names))
    (event,) = events(publish(demands=rows)["calendars/deliveries-harbour-table.ics"])
    pack = small_farm().products[names[0]].pack
    assert event.description.split("\n")[0] == f"{names[0]}: 1 {pack}"


def test_a_customer_s_file_tells_nothing_of_others_and_nothing_of_the_farm_s_own():
    files = publish(*MONDAY, demands=TWO, alarm=420)
    own = "\n".join(unfolded(files["calendars/deliveries-harbour-table.ics"]))
    for word in ("Linnet", "Pak choi", "HT-1", "HT-2", "R1", "BUT-260302", "Shelf", "short", "VALARM"):
        assert word not in own, word


def test_what_gets_nothing_is_not_told_nor_targets_nor_days_past_the_last():
    rows = (
        demand("a", 20, filled=0, state="short"),
        demand("b", 20, customer="", target=True),
        demand("c", 40, reported=False),
        demand("d", 20, customer=" \u200b"),
    )
    assert customers(publish(demands=rows)) == []


@pytest.mark.parametrize(
    ("customer", "name"),
    [
        ("Harbour Table", "deliveries-harbour-table.ics"),
        ("Café Zoë & Söhne", "deliveries-cafe-zoe-sohne.ics"),
        ("Straße 7", "deliveries-strasse-7.ics"),
        ("../../etc/passwd", "deliveries-etc-passwd.ics"),
        ("C:\\CON", "deliveries-c-con.ics"),
        ("a\nBEGIN:VEVENT", "deliveries-a-begin-vevent.ics"),
    ],
)
def test_file_names_are_plain_letters_whatever_the_customer_s_name(customer, name):
    assert file_name(FORM, customer, set()) == name


@pytest.mark.parametrize(
    "customer", ["", "市場", "مطعم", "🥬🥬", "-", "x" * 300, "..", "\u202eabc\u0000" + "y" * 50]
)
def test_names_with_no_plain_letters_or_too_many_get_digits_of_their_own(customer):
    name = file_name(FORM, customer, set())
    assert SAFE.fullmatch(name)
    assert len(name) < 70
    assert name == file_name(FORM, customer, set())
    assert name != file_name(FORM, customer + "'", set())


def test_customers_whose_names_look_alike_have_files_of_their_own():
    alike = ("Cafe Zoe", "Café Zoë", "CAFE ZOE", "cafe-zoe!")
    files = publish(demands=tuple(demand(name, 20, customer=name, product=name) for name in alike))
    assert len(customers(files)) == 4
    assert all(SAFE.fullmatch(name) for name in customers(files))
    told = [events(files[f"calendars/{name}"])[0].description for name in customers(files)]
    assert sorted(told) == sorted(f"{name}: 24 units" for name in alike)


def test_a_file_keeps_its_name_when_somebody_of_the_same_letters_comes_and_goes():
    zoe, before_her = demand("z", 20, customer="zoe"), demand("a", 20, customer="ZOE")
    first = publish(demands=(zoe,))
    both = publish(demands=(before_her, zoe), before=first)
    assert both["calendars/deliveries-zoe.ics"] == first["calendars/deliveries-zoe.ics"]
    (other,) = set(customers(both)) - {"deliveries-zoe.ics"}
    alone = publish(demands=(before_her,), before=both)
    assert alone[f"calendars/{other}"] == both[f"calendars/{other}"]
    assert events(alone["calendars/deliveries-zoe.ics"])[0]["STATUS"] == "CANCELLED"


def test_a_name_out_of_the_folder_among_the_older_files_is_not_taken_over():
    first = publish(demands=TWO)
    name = "calendars/deliveries-harbour-table.ics"
    moved = {"../calendars/deliveries-x.ics": first[name], "calendars/deliveries-../x.ics": first[name]}
    assert publish(demands=TWO, before=moved) == first


@pytest.mark.parametrize("number", [1, 2, 4, 5, 9])
def test_a_title_names_three_products_and_counts_the_rest(number):
    rows = tuple(demand(str(n), 20, product=f"P{n}") for n in range(number))
    (event,) = events(publish(demands=rows)["calendars/deliveries-harbour-table.ics"])
    expected = {
        1: "P0",
        2: "P0, P1",
        4: "P0, P1, P2, P3",
        5: "P0, P1, P2 and 2 more",
        9: "P0, P1, P2 and 6 more",
    }
    assert event.summary == f"Alder Quay delivers {expected[number]}"
    assert faults(publish(demands=rows)["calendars/deliveries-harbour-table.ics"]) == []
