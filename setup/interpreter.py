"""Say whether the Python that runs this file can carry Pourwright.

Prints the interpreter's own path and exits 0, or writes the reason to standard error and exits 1. The
syntax is kept to what Python 2.7 and 3.x can both read, so that an old interpreter answers with a sentence
and not a traceback.
"""

import sys

OLDEST = (3, 11)
NEWEST = (3, 14)


def reason_against():
    """Return why this interpreter will not do, or None."""
    version = ".".join(str(part) for part in sys.version_info[:3])
    if not OLDEST <= tuple(sys.version_info[:2]) <= NEWEST:
        return "it is Python %s, and Pourwright needs 3.11 to 3.14" % version
    if sys.implementation.name != "cpython":
        return "it is %s, and Pourwright's libraries are built for CPython" % sys.implementation.name
    import sysconfig

    if sysconfig.get_config_var("Py_GIL_DISABLED"):
        return "it is the free-threaded build of Python %s, for which not every library is built" % version
    try:
        import ssl  # noqa: F401 - without it pip can reach no index
        import venv  # noqa: F401
    except ImportError as missing:
        return "its standard library is incomplete (%s)" % missing
    return None


if __name__ == "__main__":
    against = reason_against()
    if against:
        sys.stderr.write("%s: %s\n" % (sys.executable, against))
        sys.exit(1)
    # Inside an activated virtual environment the interpreter beneath it is meant: the environment may be
    # .venv itself, which is about to be rebuilt. The standard library's venv reads the same attribute.
    print(getattr(sys, "_base_executable", None) or sys.executable)
