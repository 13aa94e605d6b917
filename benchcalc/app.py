"""Builds every port and hands it to the loop; no other file does."""

import sys
from pathlib import Path

from benchcalc.core.frozen import replace
from benchcalc.core.job import Job
from benchcalc.jobfile.shop import Shop
from benchcalc.panel.screens.aside.shelf import shelve
from benchcalc.panel.state.draft import draft_of
from benchcalc.panel.state.measured import as_measured
from benchcalc.panel.state.model import READ_WHEN_OPENED, Model, Row, Work, work_of
from benchcalc.report.settings import Ruled, Settings
from benchcalc.report.told import Told, told
from benchcalc.runlog.signing import KEY_FILE, make_key
from benchcalc.runlog.store import PANEL_SLOT, Store
from benchcalc.sensor.profile import SensorProfile
from benchcalc.shell import clock
from benchcalc.shell.device import Device
from benchcalc.shell.display.edid import told_mm
from benchcalc.shell.display.screen import Screen
from benchcalc.shell.loop import Loop
from benchcalc.shell.memory import notices_of
from benchcalc.shell.port import SerialPort, handle_wire
from benchcalc.shell.sensing import DemoSensor, DemoTurnSensor, PanelSensor, SensorPair
from benchcalc.shell.service import Service
from benchcalc.shell.settings_file import SettingsFile
from benchcalc.shell.simulated_bench import Flaws, Springiness
from benchcalc.shell.simulator import Simulator, simulated_profile, turn_profile
from benchcalc.shell.sticks import sticks_of_this_machine
from benchcalc.shell.taught import load_taught, measured_shop
from benchcalc.shell.waiting import begin
from benchcalc.words.language import speaking

DEMO_SPRINGINESS = Springiness(0.35, 0.021)
DEMO_FLAWS = Flaws()
"""Invented: a tube that springs back somewhat more than theory says, on an ordinary sensor."""

UNREAD_SLOT = "unread"
"""Where work of another version is kept when this one cannot read it."""


def run_panel(
    shop: Shop,
    job: Job | None,
    size: tuple[int, int] | None,
    state: Path,
    trouble: Told | None = None,
    sensor: PanelSensor | SensorPair | None = None,
) -> None:
    """Open the panel and stay until it is closed.

    ``size`` is a window's; None takes the whole screen. ``trouble`` is said from the start. A disk
    that cannot be used is waited for. Raises NoScreen, StoreBusy or StoreNewer, each with a
    sentence for the operator.
    """
    screen = Screen.open(size, fullscreen=size is None, title="benchcalc")
    try:
        service = Service.of_environment()
        kept = SettingsFile(state)
        settings, damaged = kept.read()
        ruled = told_by_screen(screen.size) if size is None else None
        screen.apply_settings(settings)
        if ruled and settings.rotation % 180:
            ruled = ruled.turned()
        said = trouble or damaged
        blank = Model(shop, screen.size, trouble=(said,) if said else (), told=ruled)
        blank = begun_with(settings, blank)
        with speaking(settings.language):
            begun = begin(lambda: _remembered(blank, state), screen, screen.size, service)
        if begun is None:
            return
        store, model = begun
        with store:
            model = replace(model, key=bench_key(state))
            if job is not None:
                model = opened(model, job)
            if sensor is not None:
                sensor.start()
            device, sticks = Device(state, bare=screen.bare), sticks_of_this_machine()
            sounds = (screen.tone, screen.chime)
            Loop(screen, store, model, sensor, *sounds, service, device, sticks, kept).run()
    finally:
        if sensor is not None:
            sensor.close()
        screen.close()


def bench_key(state: Path) -> str | None:
    """The fingerprint of the key that signs this bench's copies, made at its first start.

    Empty without the library that signs; None, and the reason said, where the key cannot be used.
    """
    try:
        return make_key(state)
    except (ValueError, OSError) as error:
        print(f"benchcalc: {state / KEY_FILE} cannot be used: {error}", file=sys.stderr)
        return None


def told_by_screen(size: tuple[int, int]) -> Ruled | None:
    """The whole screen's size as it tells of itself, before any turning."""
    sides = told_mm()
    return Ruled(*sides, *size) if sides else None


def begun_with(settings: Settings, model: Model) -> Model:
    """A panel with these settings, nothing on its bench."""
    units = settings.lengths
    fresh = replace(model.draft, units=units, rows=(Row(unit=units),))
    return replace(model.with_work(draft=fresh), settings=settings)


def _remembered(blank: Model, state: Path) -> tuple[Store, Model]:
    """The open store and the model with what it holds. Raises StoreError, the store closed."""
    store = Store.open(state, clock.boot_id())
    try:
        return store, restored(blank, store)
    except BaseException:
        store.close()
        raise


def panel_sensor(profile: SensorProfile, port: str) -> PanelSensor:
    """A sensor on a port, not opened yet."""
    wire = SerialPort(port, profile.line, handle=handle_wire(profile))
    return PanelSensor(profile, wire, clock.now_s())


def panel_sensors(
    bends: tuple[SensorProfile, str] | None, turns: tuple[SensorProfile, str] | None
) -> PanelSensor | SensorPair | None:
    """The sensors there are: one for bends, one for turns, or both on ports of their own."""
    if bends is None or turns is None or bends[1] == turns[1]:
        only = bends or turns
        return panel_sensor(*only) if only else None
    return SensorPair(panel_sensor(*bends), panel_sensor(*turns))


def run_demo(shop: Shop, job: Job, size: tuple[int, int], state: Path) -> None:
    """The panel with an invented job and a simulated bench that pulls as it is told."""
    with (
        Simulator(simulated_profile(), DEMO_SPRINGINESS, DEMO_FLAWS) as bends,
        Simulator(turn_profile(), DEMO_SPRINGINESS, DEMO_FLAWS, seed=2) as turns,
    ):
        now_s = clock.now_s()
        pair = SensorPair(DemoSensor(bends, now_s), DemoTurnSensor(turns, now_s))
        run_panel(shop, job, size, state, sensor=pair)


def restored(model: Model, store: Store) -> Model:
    """The model with what the bench was taught and the work in hand when the panel last stopped."""
    shop = measured_shop(store, model.shop)
    model = replace(model, shop=shop, taught=load_taught(store), today=clock.today())
    plain = store.load_work(PANEL_SLOT)
    if PANEL_SLOT in store.spoilt:
        store.put_aside_spoilt(PANEL_SLOT, UNREAD_SLOT)
    if notices := notices_of(store):
        model = replace(model, notices=notices, trouble=model.trouble or notices)
    if plain is None:
        return model
    try:
        work = work_of(plain)
    except (ValueError, TypeError) as error:
        print(f"benchcalc: saved work not read: {error}", file=sys.stderr)
        store.save_work(UNREAD_SLOT, plain)
        return replace(model, trouble=(told("trouble.unread"),))
    if work.screen in READ_WHEN_OPENED:
        work = replace(work, screen="bench")
    return replace(model, work=as_measured(work, shop))


def opened(model: Model, job: Job) -> Model:
    """A job file opened on the panel; other work in hand is put on the shelf, the same goes on."""
    draft = draft_of(job)
    fresh = as_measured(Work("plan", draft), model.shop)
    mine = replace(model.work.draft, pieces=draft.pieces, tape=draft.tape)
    return model if mine in (draft, fresh.draft) else shelve(model, fresh)
