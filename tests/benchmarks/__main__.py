"""All measurements, one after the other: `python -m tests.benchmarks [--answers N]`."""

from __future__ import annotations

import argparse

from tests.benchmarks import prediction, reading, whole_run


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument(
        "--answers",
        type=int,
        default=whole_run.ANSWERS,
        help="rows of the course that is run whole; 10000000 takes long",
    )
    answers = options.parse_args().answers
    print("explaining (targets: 5 ms; 15 ms; 2,000 a second; 1,000 ms)")
    prediction.main()
    print("reading (target: 2,000 a second)")
    reading.main()
    whole_run.main(answers)


if __name__ == "__main__":
    main()
