"""What goes along with a copy of the log: profile files, clock, version, what was taught."""

import benchcalc
from benchcalc.core.frozen import replace
from benchcalc.files.loading import asset_path, bench_name, config_folder
from benchcalc.runlog.copies.export import Enclosed
from benchcalc.runlog.reading import Records
from benchcalc.runlog.signing import KEY_FILE, key_of_bench
from benchcalc.shell import clock
from benchcalc.shell.relearn import springback_state
from benchcalc.shell.taught import load_taught

PROFILES = ("benders.yaml", "materials.yaml")


def enclosed() -> Enclosed:
    """What goes along with a copy: the profile files in use, the shop's own by a name of theirs."""
    files = {name: asset_path(name).read_bytes() for name in PROFILES}
    for name in PROFILES:
        own = config_folder() / name
        if own.is_file():
            files[f"own-{name}"] = own.read_bytes()
    return Enclosed(
        files=files,
        wall_time=clock.wall_time(),
        clock_trusted=clock.clock_trusted(),
        software=benchcalc.__version__,
        bench=bench_name(),
    )


def with_learnt(store: Records) -> Enclosed:
    """The same and what this bench was taught; and the key it signs with. Raises StoreError."""
    whole = replace(enclosed(), springback=springback_state(load_taught(store)))
    try:
        return replace(whole, signer=key_of_bench(store.folder))
    except ValueError as error:
        return replace(whole, unsigned=f"Not signed: {KEY_FILE} cannot be used: {error}.")
