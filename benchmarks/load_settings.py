"""The settings of the server under load: those of the fault runs, with a bare page beside the club's."""

from tests.faults.settings import *

ROOT_URLCONF = "benchmarks.load_bare"
