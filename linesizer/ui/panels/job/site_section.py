"""The section of the site: altitude, ambients, price of electricity, rooms."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.document.commands.job import AddRoom, DeleteRoom, SetRoomFields, SetSite
from linesizer.domain.job import Room, Site
from linesizer.storage.ranges import range_of
from linesizer.ui.fields.commit import Commit
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.fields.row import FieldRow
from linesizer.ui.panels.job.form import Form
from linesizer.ui.panels.job.items import ItemForm, ItemsSection
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.word_button import WordButton
from linesizer.ui.session import Session
from linesizer.units import Kind, System, display, display_with_unit, to_display, unit_label


class SiteForm(Form):
    """What holds for the whole place."""

    def __init__(self, session: Session, memory: PanelMemory) -> None:
        super().__init__(session, memory, "site")
        site = self.of("site", self._value, self._set)
        site.quantity(
            "altitude_m",
            "Altitude",
            Kind.ALTITUDE,
            "Above sea level. Gauge pressures count from the air pressure there.",
        )
        for key, words, tip in (
            ("summer_ambient_C", "Summer air", "Hottest outdoor air that the plant is designed for."),
            ("winter_ambient_C", "Winter air", "Coldest outdoor air that the plant is designed for."),
            ("indoor_ambient_C", "Indoor air", "Air around lines indoors that are in no room of their own."),
        ):
            site.quantity(key, words, Kind.TEMPERATURE, tip, optional=True)
        site.number(
            "electricity_price_kWh",
            "Electricity, a kWh",
            "Price of a kilowatt-hour in your own currency; the yearly cost of a pressure drop counts by it.",
            optional=True,
        )

    def _value(self, key: str) -> Any:
        return getattr(self.session.shown_job.site, key)

    def _set(self, key: str, value: Any, merge: bool) -> None:
        self.session.do(SetSite(((key, value),)), merge=merge)


class RoomVolumeField(QuantityField):
    """A volume in cubic metres or cubic feet: a room is no vessel, and litres would say too much."""

    def __init__(self, session: Session, name: str, commit: Commit, tip: str) -> None:
        super().__init__(session, Kind.VOLUME, name, commit, tip, within=range_of("room", "volume_m3"), optional=True)

    def text_of(self, value: Any) -> str:
        """Return the volume without litres."""
        return "" if value is None else room_volume(value, self.session.units).split()[0]

    def value_of(self, text: str) -> Any:
        """Return an entry; a bare number is in the unit that the field shows."""
        plain = text.strip()
        bare = plain and plain[-1].isdigit()
        return super().value_of(f"{plain} m3" if bare and self.units == "si" else text)

    def explanation(self) -> str:
        """Return what the volume is for, and what may be typed."""
        return f"{self.tip}\nType for example 90 m3 or 3200 ft3."

    @property
    def shown_unit(self) -> str:
        """The unit behind the figure."""
        return "m³" if self.units == "si" else "ft³"


def room_volume(volume_m3: float, units: System) -> str:
    """Return a room's volume as it is said."""
    if units == "si":
        return f"{volume_m3:.6g} m³"
    return f"{float(to_display(Kind.VOLUME, volume_m3, units)):.0f} ft³"


class RoomForm(ItemForm):
    """One room."""

    def __init__(self, session: Session, memory: PanelMemory, name: str) -> None:
        super().__init__(session, memory, "rooms", name)
        room = self.of("room", self._value, self._set)
        room.text("name", "Name", "What the room is called.")
        volume = RoomVolumeField(
            session,
            "Volume",
            partial(self._set, "volume_m3"),
            "Of the room's air; how much refrigerant may be in it counts by it.",
        )
        self.bind("volume_m3", FieldRow(session, "Volume", volume), volume, partial(self._value, "volume_m3"))
        room.quantity(
            "ambient_C",
            "Air",
            Kind.TEMPERATURE,
            "Air temperature around lines and equipment in the room. Empty: that of the site indoors.",
            optional=True,
        )
        room.switch("occupied", "People in it", "Whether people are in the room; stricter rules may then apply.")
        self.end(
            WordButton(
                session.theme,
                "Delete",
                self._delete,
                "Take the room away; nothing may stand in it or run through it.",
                named="Delete this room",
            )
        )

    def refresh(self) -> None:
        """Show the room."""
        if self._room() is not None:
            super().refresh()

    def _room(self) -> Room | None:
        return next((room for room in self.session.shown_job.site.rooms if room.id == self.item), None)

    def _value(self, key: str) -> Any:
        return getattr(self._room(), key)

    def _set(self, key: str, value: Any, merge: bool) -> None:
        self.session.do(SetRoomFields(self.item, ((key, value),)), merge=merge)

    def _delete(self) -> None:
        self.session.try_do(DeleteRoom(self.item))


class RoomsSection(ItemsSection[Room]):
    """The rooms of the site."""

    def __init__(self, session: Session, memory: PanelMemory) -> None:
        super().__init__(session, memory, "rooms", partial(RoomForm, session, memory))
        self.act("Add a room", self._add, "Add a room that equipment stands in or lines pass.")

    def title(self, item: Room) -> str:
        """Return its name."""
        return item.name or item.id

    def about(self, item: Room) -> str:
        """Return its volume and air."""
        units = self.session.units
        parts = []
        if item.volume_m3 is not None:
            parts.append(room_volume(item.volume_m3, units))
        if item.ambient_C is not None:
            parts.append(display_with_unit(Kind.TEMPERATURE, item.ambient_C, units))
        return ", ".join(parts) or "room"

    def _add(self) -> None:
        rooms = self.session.shown_job.site.rooms
        names = {room.name for room in rooms}
        number = len(rooms) + 1
        while f"Room {number}" in names:
            number += 1
        before = {room.id for room in rooms}
        if self.session.try_do(AddRoom(Room("", f"Room {number}"))):
            added = next(room.id for room in self.session.shown_job.site.rooms if room.id not in before)
            self.folds[added].open()


class SiteSection(QWidget):
    """Site and rooms."""

    rearranged = Signal()
    """A room came or went."""

    def __init__(self, session: Session, memory: PanelMemory, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.form = SiteForm(session, memory)
        self.rooms = RoomsSection(session, memory)
        self.rooms.rearranged.connect(self.rearranged)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.form)
        column.addWidget(self.rooms)

    def refresh(self) -> None:
        """Show the site."""
        self.form.refresh()
        self.rooms.show_items(self.session.shown_job.site.rooms)

    def summary(self, site: Site) -> str:
        """Return what the folded section says."""
        units = self.session.units
        parts = [display_with_unit(Kind.ALTITUDE, site.altitude_m, units)]
        if site.winter_ambient_C is not None and site.summer_ambient_C is not None:
            low, high = (
                display(Kind.TEMPERATURE, value, units).removesuffix(".0")
                for value in (site.winter_ambient_C, site.summer_ambient_C)
            )
            parts.append(f"{low} to {high} {unit_label(Kind.TEMPERATURE, units)}")
        return ", ".join(parts)

    def retell(self) -> None:
        """Show the same in other units."""
        self.form.retell()
        self.rooms.retell()

    def release(self) -> None:
        """Let no field commit any more."""
        self.form.release()
        self.rooms.release()
