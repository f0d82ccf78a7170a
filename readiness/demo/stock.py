"""The equipment of the demo: its products, and the deliveries it came in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta

from inspections.actions.using import accept_into_service
from readiness.demo.world import Happening, World, table
from register.actions.deliveries import Piece, receive_delivery
from register.intake.specimen_stock import STOCK, Line
from register.models import Delivery, Item, Product
from register.rules.lifespan import read_span

SERIALS = "{n:06d}"  # where the catalogue of the workbook has no pattern for the product
LOOSE = {
    "ashby": 200,
    "corrick": 340,
    "skelhope": 280,
    "hollin": 190,
    "pellow": 110,
    "northmere": 160,
}
BATCH = (16, 44)  # pieces of a delivery
ON_THE_DOCK = 12  # delivered yesterday, waiting to be accepted

LINES = {line.product: line for line in STOCK}


def make_products(world: World) -> None:
    for row in table("products"):
        world.products[row["designation"]] = Product.objects.create(**row)


def deliveries(world: World) -> Iterator[Happening]:
    """Loose stock for each site, and yesterday's cartons."""
    for site, wanted in LOOSE.items():
        yield from _batches(world, site, world.some(wanted), oldest=600)
    dock = _delivery(world, "ashby", LINES["Ridgeline 2"], world.some(ON_THE_DOCK), 1)
    yield dock[0]


def _batches(world: World, site: str, wanted: int, *, oldest: int) -> Iterator[Happening]:
    """Deliveries of one product each until there are so many pieces."""
    lines = [line for line in STOCK if line.class_slug != "anchor"]
    while wanted > 0:
        line = world.chance.choices(lines, weights=[one.share for one in lines])[0]
        count = min(wanted, world.chance.randint(*BATCH))
        yield from _delivery(world, site, line, count, world.chance.randint(45, oldest))
        wanted -= count


def _delivery(
    world: World, site: str, line: Line, count: int, days_ago: int
) -> tuple[Happening, Happening]:
    """Received on one day, accepted into service on the next."""
    taken: list[Item] = []
    product = world.products[line.product]
    pieces = pieces_of(world, product, count, world.on(-days_ago))

    def receive(at: datetime) -> None:
        made = delivery_of(world, product, site, at.date())
        taken.extend(receive_delivery(made, pieces, stamp=world.stamp("petra", at)))

    def accept(at: datetime) -> None:
        accept_into_service(taken, on=at.date(), stamp=world.stamp("petra", at))

    first = world.moment(-days_ago, 9, world.chance.randint(0, 59))
    return Happening(first, receive), Happening(first + timedelta(days=1), accept)


def pieces_of(world: World, product: Product, count: int, received_on: date) -> list[Piece]:
    """Serials in a row, made some months before, in the sizes the product comes in."""
    line = LINES.get(product.designation)
    made = read_span(f"{received_on - timedelta(days=world.chance.randint(40, 300)):%Y-%m}")
    pattern = line.serials if line else SERIALS
    batch = f"B{received_on:%y%m}"
    pieces = []
    for _ in range(count):
        number = world.next_number(product.designation)
        size = world.chance.choice(line.sizes) if line and line.sizes else ""
        serial = pattern.format(n=number, m=80_000_003 + 10 * number)
        pieces.append(Piece(serial=serial, size=size, batch=batch, made=made))
    return pieces


def delivery_of(world: World, product: Product, site: str, on: date) -> Delivery:
    """Not yet saved; with a declaration of conformity of two months before."""
    number = world.next_number("delivery note")
    return Delivery(
        site=world.sites[site],
        product=product,
        supplier="Harrowgate Trade Counter",
        order_number=f"PO-{number + 5000}",
        delivery_note=f"DN-{number}",
        received_on=on,
        declaration_on=on - timedelta(days=60),
    )
