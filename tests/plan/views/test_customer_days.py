"""What a customer gets on a day: whole products of that customer, added up."""

from samples import demand, small_farm, small_plan

from scheduler.plan.views.customer_days import CustomerDay, Item, customer_days


def of(*rows):
    return customer_days(small_farm(), small_plan(demands=rows))


def test_deliveries_of_one_customer_and_day_stand_together_and_one_product_is_added_up():
    rows = (
        demand("b", 20, product="Leaf lettuce", filled=10, order="R2"),
        demand("c", 20, product="Basil", filled=1),
        demand("a", 20, product="Leaf lettuce", filled=5),
        demand("d", 21, product="Basil", filled=2),
        demand("e", 20, customer="Anna", product="Basil", filled=3),
    )
    assert of(*rows) == [
        CustomerDay(
            customer="Anna",
            day=20,
            items=(Item(product="Basil", pack="unit", amount=3),),
            demands=(("e", "R1"),),
        ),
        CustomerDay(
            customer="Harbour Table",
            day=20,
            items=(
                Item(product="Leaf lettuce", pack="unit", amount=15),
                Item(product="Basil", pack="unit", amount=1),
            ),
            demands=(("b", "R2"), ("c", "R1"), ("a", "R1")),
        ),
        CustomerDay(
            customer="Harbour Table",
            day=21,
            items=(Item(product="Basil", pack="unit", amount=2),),
            demands=(("d", "R1"),),
        ),
    ]


def test_the_pack_is_that_of_the_farm_s_product():
    (day,) = of(demand("a", 3, product="Lettuce"))
    assert day.items == (Item(product="Lettuce", pack="head", amount=24),)


def test_targets_days_past_the_last_and_what_gets_nothing_are_left_out():
    assert of(demand("a", 3, target=True), demand("b", 40, reported=False), demand("c", 3, filled=0)) == []


def test_of_a_delivery_that_is_short_only_what_comes_is_told():
    (day,) = of(demand("a", 3, product="Lettuce", filled=7, amount=24, state="short"))
    assert [item.amount for item in day.items] == [7]
