"""Contracts: whether a record can be trusted, one feed at a time.

``judge`` is the way in. The schema of a feed is built from its declaration; ``records`` holds what
one record must keep, ``chain`` what the custody events of a case must keep together.
"""

from validation.contracts.judgement import judge
from validation.contracts.schema import ContractFault

__all__ = ["ContractFault", "judge"]
