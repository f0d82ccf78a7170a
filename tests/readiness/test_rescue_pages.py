"""The page of a rescue by numbers: read from the register anew, with what was typed kept beside it."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from readiness.models import Drill, KitAbility, Plan, Task, TaskSums
from register import clock
from register.models import Item, KitPart, Product, Role
from tests.factories import ItemFactory, ProductFactory, user_as
from tests.readiness.asking import answers
from tests.readiness.grounds import Ground, covered_site

pytestmark = pytest.mark.django_db


@pytest.fixture
def ground() -> Ground:
    """Heaviest 110 kg, 18 m down, one kit for 40 m and 150 kg, a drill of 6 min, a target of 15."""
    return covered_site(day=clock.now().date())


def client(ground: Ground, role: Role = Role.PLANNER) -> Client:
    signed_in = Client()
    signed_in.force_login(user_as(role, ground.site))
    return signed_in


def path(ground: Ground) -> str:
    return reverse("readiness:task-rescue", args=[ground.site.code, ground.task.code])


def typed(ground: Ground, **others: str) -> dict[str, str]:
    return {
        "units": "m",
        f"kit_rope_{ground.kit.pk}": "45",
        f"kit_class_{ground.kit.pk}": "B",
        **others,
    }


def words(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def posted(ground: Ground, **others: str) -> str:
    return words(client(ground).post(path(ground), typed(ground, **others)).content.decode())


def test_what_is_not_known_is_named_before_anything_is_typed(ground: Ground) -> None:
    told = words(client(ground).get(path(ground)).content.decode())
    assert "No kit is shown to be enough on these figures." in told
    assert "the length of its rope as it is today" in told
    assert "the class or the energy of its descender" in told


def test_rope_descents_load_and_minutes_stand_with_their_limits(ground: Ground) -> None:
    told = posted(ground)
    for part in (
        "The rope is long enough: 20 m are needed, 25 m are to spare. No stopper at its end",
        "77 descents of 19.43 kJ are left in the device; 1 asked for.",
        f"110 kg is within every rating; the weakest is {ground.kit.name}, 150 kg.",
        "No mark in kilograms on record: descender",
        "1 min alarm (the employer's figure)",
        "6 min from the kit at the place to the casualty at safety (drill of ",
        "Together 7 min; the plan's target is 15 min.",
        "None is a time for which anybody is safe.",
        "Side view of the rescue, to scale",
        "The casualty is lowered by 18.00 m",
    ):
        assert part in told, part


def test_without_a_drill_the_steps_are_estimated_and_said_to_be(ground: Ground) -> None:
    Drill.objects.all().delete()
    assert "the minutes to rig it: no drill, and no estimate" in posted(ground)
    told = posted(ground, rig_minutes="3")
    assert "3 min rigging (an estimate nobody has timed)" in told
    assert "Together 4.7 min" in told


def test_an_accompanied_descent_is_reckoned_with_the_rescuer(ground: Ground) -> None:
    Plan.objects.update(accompanied=True)
    told = posted(ground)
    assert "210 kg is too much for" in told
    assert "Cover does not accept this kit for the task, whatever the sums say." in told


def test_no_sum_makes_a_kit_fit_that_cover_does_not_accept(ground: Ground) -> None:
    ground.kit.seal_intact = False
    ground.kit.save()
    told = posted(ground)
    assert "No kit is shown to be enough on these figures." in told
    assert "Enough on these figures: " not in told
    client(ground).post(path(ground), typed(ground, keep="1"))
    assert TaskSums.objects.count() == 1
    assert answers(ground.site, clock.now().date())["CQ-1"].state == "not-covered"


def test_a_rope_shorter_than_the_declared_height_is_a_finding_with_the_way_to_the_record(
    ground: Ground,
) -> None:
    html = client(ground).post(path(ground), typed(ground, **{f"kit_rope_{ground.kit.pk}": "30"}))
    told = words(html.content.decode())
    assert "Enough on these figures: " not in told
    assert (
        "The rope of 30 m is too short for the greatest height on the kit’s record, 40 m: 42 m would "
        "be needed. Mend the kit’s record" in told
    )
    assert reverse("readiness:kit-rate", args=[ground.kit.name]) in html.content.decode()


def test_the_weakest_part_by_its_mark_is_named(ground: Ground) -> None:
    part = KitPart.objects.select_related("item__product").get(role="descender", kit=ground.kit)
    assert part.item is not None
    Product.objects.filter(pk=part.item.product_id).update(max_user_kg=100)
    told = posted(ground)
    assert "110 kg is too much for descender" in told
    assert "The kit is rated 150 kg on its record, but descender" in told


def test_what_is_typed_is_kept_and_what_the_register_knows_is_read_anew(ground: Ground) -> None:
    planner = client(ground)
    sent = typed(ground, keep="1", landing="quay", rig_minutes="2.5")
    assert planner.post(path(ground), sent).status_code == 302
    assert TaskSums.objects.get().figures == {
        "format": 1,
        "rig_s": 150,
        "landing": "quay",
        "kits": [{"kit": ground.kit.name, "rope_m": 45, "en341_class": "B"}],
    }
    Task.objects.update(lower_m=25.0)
    KitAbility.objects.update(max_height_m=24)
    told = words(planner.get(path(ground)).content.decode())
    assert "Too high for this kit by its maker: 1 m too high." in told
    assert "to quay." in told


def test_what_was_kept_of_a_kit_that_is_away_is_not_lost(ground: Ground) -> None:
    planner = client(ground)
    planner.post(path(ground), typed(ground, keep="1"))
    ground.kit.item.custody = "in-transit"
    ground.kit.item.save()
    planner.post(path(ground), {"units": "m", "keep": "1"})
    kept = TaskSums.objects.order_by("-version")[0]
    assert kept.figures["kits"] == [{"kit": ground.kit.name, "rope_m": 45, "en341_class": "B"}]


def test_feet_and_pounds(ground: Ground) -> None:
    told = posted(ground, to_units="ft")
    assert "65.7 ft are needed" in told
    assert "243 lb is within every rating" in told
    assert (
        'value="147.6378"'
        in client(ground).post(path(ground), typed(ground, to_units="ft")).content.decode()
    )


def test_a_refusal_stands_beside_its_box(ground: Ground) -> None:
    box = f"kit_ratio_{ground.kit.pk}"
    response = client(ground).post(path(ground), typed(ground, keep="1", **{box: "2.5"}))
    assert response.status_code == 422
    beside = response.content.decode().split(f'id="says-{box}"')[1].split("</div>")[0]
    assert "A whole number, please: the ratio of the haul, from 1 to 20." in beside
    assert not TaskSums.objects.exists()


def test_while_somebody_types_the_answer_alone_comes_back(ground: Ground) -> None:
    live = client(ground).post(path(ground), typed(ground), headers={"HX-Request": "true"})
    assert "<html" not in live.content.decode()
    assert "Enough on these figures: " in live.content.decode()


def test_only_a_planner_keeps(ground: Ground) -> None:
    worker = client(ground, Role.WORKER)
    assert worker.get(path(ground)).status_code == 200
    assert worker.post(path(ground), typed(ground, keep="1")).status_code == 403


def test_without_a_plan_there_is_no_target(ground: Ground) -> None:
    Drill.objects.all().delete()
    Plan.objects.all().delete()
    told = posted(ground)
    assert "There is no rescue plan, so there is no target to be in time for." in told
    assert "Enough on these figures: " not in told


def with_rope(ground: Ground) -> KitPart:
    rope = ProductFactory(equipment_class="rope", length_m="60")
    item = ItemFactory(product=rope, site=ground.site)
    return KitPart.objects.create(kit=ground.kit, role="Rope", item=item)


def kept(ground: Ground, **others: str) -> TaskSums:
    client(ground).post(path(ground), typed(ground, keep="1", **others))
    return TaskSums.objects.order_by("-version")[0]


def shown(ground: Ground) -> str:
    return client(ground).get(path(ground)).content.decode()


def test_an_exchanged_rope_makes_the_figures_of_its_kit_to_be_taken_again(ground: Ground) -> None:
    """45 m were measured at the old rope; the new one is only known by its delivered length."""
    part = with_rope(ground)
    old = part.item
    assert old is not None
    kept(ground)
    assert f'name="kit_rope_{ground.kit.pk}" value="45"' in shown(ground)
    assert "25 m are to spare" in words(shown(ground))
    part.item = ItemFactory(product=old.product, site=ground.site)
    part.save()
    html = shown(ground)
    assert f'name="kit_rope_{ground.kit.pk}" value="45"' not in html
    told = words(html)
    assert (
        f"{ground.kit.name} is to be measured again: Rope {part.item.shown_code} is in it now, "
        f"Rope {old.shown_code} was when its figures were taken." in told
    )
    assert "25 m are to spare" not in told
    assert "the class or the energy of its descender" in told
    cover = reverse("readiness:site-cover", args=[ground.site.code])
    assert "is to be measured again" in words(client(ground).get(cover).content.decode())
    kept(ground)
    assert "is to be measured again" not in words(shown(ground))


def test_a_part_that_bears_nothing_may_change_and_a_new_tag_changes_no_part(
    ground: Ground,
) -> None:
    part = with_rope(ground)
    kept(ground)
    bag = ItemFactory(product=ProductFactory(equipment_class="helmet"), site=ground.site)
    KitPart.objects.create(kit=ground.kit, role="Helmet", item=bag)
    Item.objects.filter(pk=part.item_id).update(code="7K2M9Q4A")
    assert "is to be measured again" not in words(shown(ground))


def test_a_kit_that_was_away_while_its_rope_was_exchanged_is_measured_again(ground: Ground) -> None:
    """Its figures were carried along by sums kept meanwhile; the parts they rest on too."""
    part = with_rope(ground)
    first = kept(ground)
    away = covered_site("away", "Away")
    Item.objects.filter(pk=ground.kit.item_id).update(site=away.site)
    client(ground).post(path(ground), {"units": "m", "landing": "the quay", "keep": "1"})
    again = TaskSums.objects.order_by("-version")[0]
    assert again.version == 2
    assert again.rests_on == first.rests_on
    Item.objects.filter(pk=ground.kit.item_id).update(site=ground.site)
    assert "is to be measured again" not in words(shown(ground))
    part.item = ItemFactory(product=ProductFactory(equipment_class="rope"), site=ground.site)
    part.save()
    assert "is to be measured again" in words(shown(ground))


def test_figures_kept_without_their_parts_are_taken_again(ground: Ground) -> None:
    sums = kept(ground)
    TaskSums.objects.filter(pk=sums.pk).update(rests_on={})
    assert "nobody knows with which parts" in words(shown(ground))
