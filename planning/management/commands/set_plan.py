"""``manage.py set_plan SET_ID [--json]``: one set's plan; ``--list``: which sets there are."""

import json

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.template.loader import render_to_string

from planning import selectors
from planning.lesson_text import lesson, objective
from planning.physics.errors import OutOfRange
from planning.plan import evaluate
from planning.plan.as_dict import as_dict
from planning.sheets.options import print_options
from workshops.selectors.house import house

REFUSED = 2  # the exit code of input no plan can be made from


class Command(BaseCommand):
    help = "Print the plan of one set: camera, lamps, ladder, wind, water, batteries, cautions."

    def add_arguments(self, parser):
        parser.add_argument("set_id", nargs="?", metavar="SET_ID", help="number of the set")
        parser.add_argument("--json", action="store_true", help="full precision, units in the keys")
        parser.add_argument("--list", action="store_true", help="list the sets and stop")

    def handle(self, *, set_id, **options):
        try:
            self._answer(set_id, options)
        except DatabaseError as reason:
            self._refuse(f"The database holds no records yet ({reason}): run the demo, or migrate.")

    def _answer(self, set_id, options):
        if options["list"]:
            self._list()
            return
        if set_id is None:
            self._refuse("Which set? Give its number, or --list to see them.")
        try:
            inputs = selectors.set_inputs(_number(set_id))
            plan = evaluate(inputs)
        except (OutOfRange, ValidationError) as refusal:
            self._refuse(refusal)
        if options["json"]:
            self.stdout.write(
                json.dumps(
                    as_dict(plan)
                    | {"points": [point.code or point.name for point in inputs.points]},
                    indent=2,
                    ensure_ascii=False,
                    allow_nan=False,
                )
            )
        else:
            say = print_options(house()).figures(inputs.location.timezone)
            taught = {"points": lesson(plan, inputs, say), "aim": objective(plan, inputs, say)}
            context = {"plan": plan, "say": say, **taught}
            text = render_to_string("planning/set_plan.txt", context)
            self.stdout.write(text.rstrip())

    def _list(self):
        rows = selectors.set_list()
        workshop_id = None
        for row in rows:
            if row.workshop_id != workshop_id:
                workshop_id = row.workshop_id
                self.stdout.write(f"workshop {workshop_id}  {row.workshop}")
            self.stdout.write(f"  set {row.id}  {row.start_at:%Y-%m-%d %H:%M}  {row.title}")
        if not rows:
            self.stdout.write("No sets yet: enter one in the admin, or run the demo.")

    def _refuse(self, reason):
        raise CommandError(str(reason), returncode=REFUSED)


def _number(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise OutOfRange(f"SET_ID: {text!r} is no number: --list shows the sets") from None
