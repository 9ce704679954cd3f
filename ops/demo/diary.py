"""The diary: 40 visits in 18 months, in order."""

from ops.demo.first_year import FIRST_YEAR
from ops.demo.last_months import LAST_MONTHS

DIARY = FIRST_YEAR + LAST_MONTHS
