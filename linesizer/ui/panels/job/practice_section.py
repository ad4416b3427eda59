"""The section of the practice set: which one judges the job, and the job's own values in the place of its rules'."""

from __future__ import annotations

from functools import partial
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from linesizer.catalog.practice import PracticeRule, RuleKind, practice_set, practice_sets
from linesizer.document.commands.job import ClearPracticeOverride, SetPracticeOverride, SetPracticeSet
from linesizer.domain.job import PracticeChoice
from linesizer.storage.ranges import Range
from linesizer.ui.fields.choice import Choice
from linesizer.ui.fields.entry import EntryField
from linesizer.ui.fields.number import NumberField
from linesizer.ui.fields.quantity import QuantityField
from linesizer.ui.fields.row import FieldRow
from linesizer.ui.panels.job.form import Form
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job.rule_values import RuleTextField, rule_kind, rule_words, value_words
from linesizer.ui.panels.job.word_button import ButtonRow, WordButton
from linesizer.ui.panels.notes import Prose
from linesizer.ui.session import Session
from linesizer.ui.theme import STEP_px


class OverrideRow(QWidget):
    """One rule with the job's own value, the set's own beside it, who says so, and the way back."""

    def __init__(self, session: Session, rule: PracticeRule, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.rule = rule
        commit = partial(self._set)
        tip = f"{rule.reason}. Applies to {rule.applies_to}."
        words = rule_words(rule.name)
        kind = rule_kind(rule)
        self.field: EntryField
        if rule.kind is not RuleKind.NUMBER:
            self.field = RuleTextField(session, rule, words, commit, tip)
        elif kind is not None:
            within = Range(rule.least, rule.most)
            self.field = QuantityField(session, kind, words, commit, tip, within=within)
        else:
            unit = "" if rule.unit == "-" else rule.unit
            self.field = NumberField(
                session, words, commit, tip, within=Range(rule.least, rule.most), unit=unit if len(unit) < 8 else ""
            )
        self.row = FieldRow(session, words, self.field)
        self.source = Prose(session)
        self.reset = WordButton(
            session.theme,
            "Reset",
            self._reset,
            "Leave this rule to the practice set again.",
            named=f"Reset {words}",
        )
        acts = ButtonRow()
        acts.add(self.reset)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, STEP_px)
        column.setSpacing(0)
        column.addWidget(self.row)
        column.addWidget(self.source)
        column.addWidget(acts)

    def refresh(self) -> None:
        """Show the job's own value, and the set's."""
        practice = self.session.shown_job.practice
        own = dict(practice.overrides)
        self.field.show_value(own.get(self.rule.name))
        usual = value_words(self.rule, self.session.units)
        self.source.say(f"{practice.set}: {usual}. {self.rule.source} ({self.rule.status}).")

    def _set(self, value: Any, merge: bool) -> None:
        self.session.do(SetPracticeOverride(self.rule.name, value), merge=merge)

    def _reset(self) -> None:
        section = self.parentWidget()
        while section is not None and not isinstance(section, PracticeSection):
            section = section.parentWidget()
        if section is not None:
            section.drop(self.rule.name)


class PracticeSection(QWidget):
    """Practice set and overrides."""

    rearranged = Signal()
    """A rule came or went."""

    def __init__(self, session: Session, memory: PanelMemory, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.form = Form(session, memory, "practice")
        binder = self.form.of("site", self._value, self._write)
        binder.choice(
            "set",
            "Set",
            tuple(Choice(name, name) for name in practice_sets()),
            "Which set of customary limits judges the job. No set is a code: local codes and makers' limits go first.",
        )
        self.rules = binder.choice(
            "rule", "Change a value", (), "Choose a rule to put the job's own value in the place of the set's."
        )
        self.overrides: dict[str, OverrideRow] = {}
        self._wanted: str | None = None
        self._rows = QVBoxLayout()
        self._rows.setContentsMargins(0, STEP_px, 0, 0)
        self._rows.setSpacing(0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.form)
        column.addLayout(self._rows)

    def refresh(self) -> None:
        """Show practice set and overrides."""
        practice = self.session.shown_job.practice
        own = dict(practice.overrides)
        if self._wanted in own:
            self._wanted = None
        shipped = practice_set(practice.set)
        names = [name for name in own if any(rule.name == name for rule in shipped.rules)]
        if self._wanted is not None:
            names.append(self._wanted)
        self.rules.offer(
            (
                Choice(None, "choose…"),
                *(
                    Choice(rule.name, rule_words(rule.name))
                    for rule in shipped.rules
                    if rule.kind is not RuleKind.TEXT and rule.name not in names
                ),
            )
        )
        self.form.refresh()
        if names != list(self.overrides):
            self._rebuild(names)
        for row in self.overrides.values():
            row.refresh()

    def summary(self, practice: PracticeChoice) -> str:
        """Return what the folded section says."""
        count = len(practice.overrides)
        changed = f", {count} value{'s' if count != 1 else ''} changed" if count else ""
        return f"{practice.set}{changed}"

    def retell(self) -> None:
        """Show the same in other units."""
        for row in self.overrides.values():
            row.field.retell()
            row.refresh()

    def release(self) -> None:
        """Let no field commit any more."""
        for row in self.overrides.values():
            row.field.release()

    def drop(self, rule: str) -> None:
        """Leave a rule to the practice set again."""
        if rule == self._wanted:
            self._wanted = None
            self.refresh()
        else:
            self.session.try_do(ClearPracticeOverride(rule))

    def _value(self, key: str) -> Any:
        return self.session.shown_job.practice.set if key == "set" else None

    def _write(self, key: str, value: Any, merge: bool) -> None:
        if key == "set":
            self.session.do(SetPracticeSet(value))
        elif value is not None:
            self._wanted = value
            self.refresh()
            self.overrides[value].field.setFocus()

    def _rebuild(self, names: list[str]) -> None:
        for name in [name for name in self.overrides if name not in names]:
            row = self.overrides.pop(name)
            row.field.release()
            self._rows.removeWidget(row)
            row.hide()
            row.deleteLater()
        kept, shipped = self.overrides, practice_set(self.session.shown_job.practice.set)
        self.overrides = {}
        for place, name in enumerate(names):
            row = kept.get(name) or OverrideRow(self.session, shipped.rule(name), self)
            self.overrides[name] = row
            if self._rows.indexOf(row) != place:
                self._rows.removeWidget(row)
                self._rows.insertWidget(place, row)
                row.show()
        self.rearranged.emit()
