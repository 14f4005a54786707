#!/usr/bin/env python3
"""The command line of One Stop Under: chooses the interpreter, then hands over to Django."""

import os
import sys

OLDEST = (3, 11)
NOBODY_READS = 141  # what shells give a program whose reader has gone: 128 + SIGPIPE


def main():
    # No f-string and no annotation before this line: old Pythons must get as far as the sentence.
    if sys.version_info < OLDEST:
        sys.exit(
            "One Stop Under needs Python 3.11 or newer, and this is Python "
            + sys.version.split()[0]
            + ": start it with a newer one, such as python3.11 manage.py demo."
        )
    from workshops import bootstrap

    command = sys.argv[1] if len(sys.argv) > 1 else ""
    if command == "test":
        bootstrap.prepare(command)
        bootstrap.run_tests(sys.argv[2:])
    elif command == "demo":
        bootstrap.prepare(command)
        bootstrap.use_demo_data()
    elif command == "serve" and not {"-h", "--help"} & set(sys.argv):
        bootstrap.demand_site()
        bootstrap.prepare(command)
    else:
        bootstrap.find_django()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshops.settings")
    from django.core.exceptions import ImproperlyConfigured
    from django.core.management import execute_from_command_line

    try:
        execute_from_command_line(sys.argv)
        sys.stdout.flush()
    except BrokenPipeError:
        end_unless_read()
        raise
    except ImproperlyConfigured as reason:
        sys.exit("One Stop Under: " + str(reason))


def end_unless_read():
    """End without a word when ``head`` or a pager has seen enough of what we print."""
    try:
        print(flush=True)  # what broke may be another pipe: only writing tells
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(NOBODY_READS)


if __name__ == "__main__":
    main()
