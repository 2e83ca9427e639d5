"""stub"""

from __future__ import annotations


def faults_of(told, taken_out):
    return ()
