"""The advisor's questions read from a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from server.core.advisor.load_time import Timed
from server.core.advisor.money import Prices, VehiclePrice
from server.core.advisor.questions import (
    WALL,
    AskBuy,
    Asked,
    AskHire,
    Change,
    Drive,
    Need,
    Night,
    Offer,
)
from server.core.base.units import UM_PER, Units, to_g, to_um
from server.core.shop.case import Case
from server.core.shop.show import Show
from server.files.advise_schema import (
    AdviseModel,
    ChangeModel,
    NeedModel,
    NightModel,
    ReplaceModel,
    VehiclePriceModel,
)
from server.files.errors import bad_input
from server.files.show_file import parse_show, read_json
from server.trouble import BadInput

_SHOW_KEYS: Final = ("units", "rules", "vehicles", "cases", "name", "date")


def read_asked(path: Path) -> tuple[Asked, Units]:
    """Read what the advisor is asked: its own format, or a show file (then its fleet and hire)."""
    document = read_json(path)
    if isinstance(document, dict) and document.get("format") == "rowcall-show-1":
        return _of_show(parse_show(document, str(path)))
    try:
        model = AdviseModel.model_validate(document)
    except ValidationError as error:
        raise bad_input(str(path), error) from error
    plain = {key: document[key] for key in _SHOW_KEYS if key in document}
    show = parse_show({**plain, "format": "rowcall-show-1"}, str(path))
    return _Reader(str(path), model, show).asked(), show.units


def _of_show(show: Show) -> tuple[Asked, Units]:
    night = Night(show.name or "show", show.cases, show.vehicles)
    offers = tuple(Offer(vehicle) for vehicle in show.vehicles)
    booked = tuple(vehicle.id for vehicle in show.vehicles)
    return (
        Asked(
            cases=show.cases,
            vehicles=show.vehicles,
            rules=show.rules,
            nights=(night,),
            hire=AskHire(show, offers, Drive(), booked),
        ),
        show.units,
    )


def cents(amount: float | None) -> int | None:
    """Return an amount in whole hundredths."""
    return None if amount is None else round(Decimal(repr(amount)) * 100)


class _Reader:
    """Turns the model into core types; what is named and not there is refused by place."""

    def __init__(self, file: str, model: AdviseModel, show: Show) -> None:
        self.file, self.model, self.show = file, model, show
        self.units = show.units
        self.vehicles = {vehicle.id: vehicle for vehicle in show.vehicles}
        self.codes: dict[str, list[Case]] = {}
        for case in show.cases:
            self.codes.setdefault(case.code, []).append(case)
            base, mark, _ = case.code.rpartition("#")
            if mark:
                self.codes.setdefault(base, []).append(case)

    def asked(self) -> Asked:
        model = self.model
        nights = tuple(self.night(one, at) for at, one in enumerate(model.nights))
        if not nights and model.cases:
            nights = (Night(model.name or "all cases", self.show.cases, self.show.vehicles),)
        self.nights = {one.name: one for one in nights}
        if len(self.nights) < len(nights):
            raise BadInput(f"{self.file}: nights", "every name once", "one of them twice")
        return Asked(
            cases=self.show.cases,
            vehicles=self.show.vehicles,
            rules=self.show.rules,
            nights=nights,
            changes=tuple(self.change(one, at) for at, one in enumerate(model.changes)),
            prices=self.prices(),
            buy=self.buy(),
            hire=self.hire(),
            timed=tuple(Timed(one.minutes, one.cases, one.move) for one in model.timed),
        )

    def length(self, value: float) -> int:
        return to_um(value, self.units.length)

    def known(self, name: str, names: Mapping[str, Any], place: str) -> Any:
        if name not in names:
            some = ", ".join(list(names)[:6]) or "none is entered"
            raise BadInput(f"{self.file}: {place}", f"one that is in the file ({some})", name)
        return names[name]

    def night(self, one: NightModel, at: int) -> Night:
        cases: list[Case] = []
        if one.cases is None:
            cases = list(self.show.cases)
        for number, called in enumerate(one.cases or ()):
            place = f"nights[{at}].cases[{number}]"
            if isinstance(called, str):
                cases += self.known(called, self.codes, place)
                continue
            found = self.known(called.code, self.codes, place)
            if called.count > len(found):
                expected = f"at most {len(found)} of {called.code}"
                raise BadInput(f"{self.file}: {place}.count", expected, called.count)
            cases += found[: called.count]
        if len({case.code for case in cases}) < len(cases):
            raise BadInput(f"{self.file}: nights[{at}].cases", "every case once", "one twice")
        ids = list(self.vehicles) if one.vehicles is None else one.vehicles
        place = f"nights[{at}].vehicles"
        vehicles = tuple(self.known(name, self.vehicles, place) for name in ids)
        return Night(one.name, tuple(cases), vehicles, one.times)

    def change(self, one: ChangeModel, at: int) -> Change:
        instead: dict[str, Case | None] = {}
        for number, model in enumerate(one.replace):
            for code in model.codes:
                place = f"changes[{at}].replace[{number}].codes"
                for case in self.known(code, self.codes, place):
                    instead[case.code] = self.replaced(case, model)
        for code in one.sell:
            for case in self.known(code, self.codes, f"changes[{at}].sell"):
                instead[case.code] = None
        for name in one.nights:
            self.known(name, self.nights, f"changes[{at}].nights")
        return Change(one.name, instead, self.new_cases(at), frozenset(one.nights), cents(one.cost))

    def new_cases(self, at: int) -> tuple[Case, ...]:
        """Return what a change buys; its codes must not be those of the fleet."""
        models = self.model.changes[at].buy
        if not models:
            return ()
        document = {
            "format": "rowcall-show-1",
            "units": self.model.units.model_dump(),
            "vehicles": [{"id": "-", "width": 1, "length": 1, "height": 1}],
            "cases": [one.model_dump(by_alias=True, exclude_unset=True) for one in models],
        }
        found = parse_show(document, f"{self.file}: changes[{at}].buy").cases
        for case in found:
            if case.code in self.codes:
                expected = "a code that no case of the fleet has"
                raise BadInput(f"{self.file}: changes[{at}].buy", expected, case.code)
        return found

    def replaced(self, case: Case, model: ReplaceModel) -> Case:
        values: dict[str, Any] = {
            f"{side}_um": self.length(value)
            for side in ("length", "width", "height")
            if (value := getattr(model, side)) is not None
        }
        for key in ("mass", "lid_load"):
            if (value := getattr(model, key)) is not None:
                values[f"{key}_g"] = to_g(value, self.units.mass)
        for key in ("lid_casters", "turn"):
            if (value := getattr(model, key)) is not None:
                values[key] = value
        return replace(case, **values)

    def prices(self) -> Prices:
        model = self.model.prices
        ids = [one.id for one in model.vehicles]
        for at, one in enumerate(ids):
            self.known(one, self.vehicles, f"prices.vehicles[{at}].id")
        if len(set(ids)) < len(ids):
            raise BadInput(f"{self.file}: prices.vehicles", "every vehicle once", "one twice")
        return Prices(
            model.currency,
            {one.id: price_of(one) for one in model.vehicles},
            cents(model.driver_hour),
        )

    def buy(self) -> AskBuy | None:
        model = self.model.buy
        if model is None:
            return None
        needs = tuple(self.need(one, at) for at, one in enumerate(model.needs))
        names = list(self.nights) if model.nights is None else model.nights
        nights = tuple(self.known(name, self.nights, "buy.nights") for name in names)
        if not nights:  # a shop that starts anew: nothing stands there yet
            nights = (Night("new cases alone", (), self.show.vehicles),)
        return AskBuy(needs, nights, model.most_sizes)

    def need(self, one: NeedModel, at: int) -> Need:
        inside = [1, 1, 1] if one.inside is None else [self.length(side) for side in one.inside]
        if one.inside is None and one.volume is None:
            expected = "inside sides or a volume: what must fit in"
            raise BadInput(f"{self.file}: buy.needs[{at}]", expected, "neither")
        volume = Decimal(repr(one.volume or 0)) * UM_PER[self.units.length] ** 3
        try:
            return Need(
                count=one.count,
                height_um=self.length(one.height),
                name=one.name,
                inside_um=(inside[0], inside[1], inside[2]),
                volume_um3=int(volume),
                wall_um=WALL if one.wall is None else self.length(one.wall),
                front_um=self.length(one.front),
                behind_um=self.length(one.behind),
                panel_um=self.length(one.panel),
                under_um=self.length(one.under),
                mass_g=to_g(one.mass, self.units.mass),
                turn=one.turn,
            )
        except ValueError as error:
            expected = str(error).rpartition("expected ")[2]
            raise BadInput(f"{self.file}: buy.needs[{at}]", expected, "less") from error

    def hire(self) -> AskHire | None:
        model = self.model.hire
        if model is None:
            return None
        night: Night = self.known(model.night, self.nights, "hire.night")
        for name in model.booked:
            self.known(name, self.vehicles, "hire.booked")
        priced = {one.id: one for one in self.model.prices.vehicles}
        offers = tuple(self.offer(vehicle, priced.get(vehicle)) for vehicle in self.vehicles)
        drive = Drive(
            days=model.days,
            distance=model.distance,
            hours=model.hours,
            drivers=model.drivers,
            hours_limit=model.hours_limit,
            driver_hour=cents(self.model.prices.driver_hour),
            licences=None if model.licences is None else frozenset(model.licences),
        )
        cases = tuple(replace(case, vehicle=None) for case in night.cases)
        show = replace(self.show, cases=cases)
        return AskHire(show, offers, drive, tuple(model.booked), model.seconds)

    def offer(self, vehicle: str, model: VehiclePriceModel | None) -> Offer:
        here = self.vehicles[vehicle]
        if model is None:
            return Offer(here)
        mass = self.units.mass
        return Offer(
            here,
            model.count,
            model.trips,
            model.licence,
            price_of(model),
            None if model.empty is None else to_g(model.empty, mass),
            None if model.tow_limit is None else to_g(model.tow_limit, mass),
        )


def price_of(model: VehiclePriceModel) -> VehiclePrice:
    """Return a price in whole hundredths."""
    return VehiclePrice(
        cents(model.day), cents(model.distance), cents(model.tolls) or 0, cents(model.loading_metre)
    )
