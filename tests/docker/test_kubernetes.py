"""The manifests: valid by published schemas, closed by the strictest Pod Security Standard, in step with the image."""

from __future__ import annotations

import re
import subprocess
from typing import Any

import kubernetes_validate
import pytest
import yaml

from service.prefer import LONGEST_WAIT_S
from tests.requires import requires
from tests.stack import ROOT
from worker.errors import SettingsInvalid
from worker.settings import SETTINGS, load

FOLDER = ROOT / "docker" / "kubernetes"
KUSTOMIZATION: dict[str, Any] = yaml.safe_load((FOLDER / "kustomization.yaml").read_text())
DOCUMENTS: list[dict[str, Any]] = [
    document for name in KUSTOMIZATION["resources"] for document in yaml.safe_load_all((FOLDER / name).read_text())
]
PODS: dict[str, dict[str, Any]] = {
    document["metadata"]["name"].removeprefix("pourwright-"): document["spec"]["template"]
    for document in DOCUMENTS
    if document["kind"] in ("Deployment", "StatefulSet")
}
OURS = ("service", "worker", "courier")
VERSIONS = ("1.30", "1.37")
"""An old one that is still run, and the newest that there are schemas of."""


def container(name: str) -> dict[str, Any]:
    (one,) = PODS[name]["spec"]["containers"]
    assert isinstance(one, dict)
    return one


def of_kind(kind: str) -> list[dict[str, Any]]:
    return [document for document in DOCUMENTS if document["kind"] == kind]


def configured() -> dict[str, str]:
    return dict(line.split("=", 1) for line in KUSTOMIZATION["configMapGenerator"][0]["literals"])


def set_for(name: str) -> dict[str, str]:
    """The environment of a container, secrets left out, on top of the image's."""
    image = dict(re.findall(r"(POURWRIGHT_[A-Z_]+)=(\S+)", (ROOT / "docker" / "Dockerfile").read_text()))
    own = {one["name"]: one.get("value", configured().get(one["name"], "")) for one in container(name)["env"]}
    whole = configured() if any("configMapRef" in one for one in container(name).get("envFrom", [])) else {}
    return image | whole | own


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda one: f"{one['kind']}-{one['metadata']['name']}")
def test_each_is_valid(document: dict[str, Any], version: str) -> None:
    assert kubernetes_validate.validate(document, version, strict=True) == version


def test_what_is_misspelt_is_not() -> None:
    (scaler,) = of_kind("HorizontalPodAutoscaler")
    wrong = scaler | {"spec": scaler["spec"] | {"minimumReplicas": 1}}
    with pytest.raises(kubernetes_validate.ValidationError):
        kubernetes_validate.validate(wrong, VERSIONS[-1], strict=True)


def test_every_file_is_applied() -> None:
    assert {file.name for file in FOLDER.glob("*.yaml")} == {"kustomization.yaml", *KUSTOMIZATION["resources"]}


@requires("kubectl")
def test_they_are_put_together() -> None:
    told = subprocess.run(["kubectl", "kustomize", str(FOLDER)], capture_output=True, text=True, timeout=60)
    assert told.returncode == 0, told.stderr
    made = list(yaml.safe_load_all(told.stdout))
    config = next(one["metadata"]["name"] for one in made if one["kind"] == "ConfigMap")
    assert len(made) == len(DOCUMENTS) + 1 and told.stdout.count(f"name: {config}") >= 3
    assert all(kubernetes_validate.validate(one, VERSIONS[-1], strict=True) for one in made)


@pytest.mark.parametrize("name", PODS)
def test_none_may_more_than_it_needs(name: str) -> None:
    """Pod Security Standards, `restricted`, and a root that nothing can be written to."""
    pod, held = PODS[name]["spec"], container(name)["securityContext"]
    assert pod["securityContext"]["runAsNonRoot"] is True and pod["securityContext"]["runAsUser"] > 0
    assert pod["securityContext"]["seccompProfile"] == {"type": "RuntimeDefault"}
    assert held["allowPrivilegeEscalation"] is False and held["readOnlyRootFilesystem"] is True
    assert held["capabilities"] == {"drop": ["ALL"]} and "privileged" not in held
    assert pod["automountServiceAccountToken"] is False
    assert not {"hostNetwork", "hostPID", "hostIPC", "initContainers"} & set(pod)
    assert all({"emptyDir", "secret"} & set(volume) for volume in pod.get("volumes", []))


def test_the_namespace_holds_them_to_it() -> None:
    (namespace,) = of_kind("Namespace")
    assert namespace["metadata"]["labels"]["pod-security.kubernetes.io/enforce"] == "restricted"


@pytest.mark.parametrize("name", PODS)
def test_each_has_its_limits_and_is_asked_how_it_is(name: str) -> None:
    one = container(name)
    assert {"cpu", "memory"} == set(one["resources"]["requests"]) and "memory" in one["resources"]["limits"]
    assert {"startupProbe", "readinessProbe"} <= set(one)
    # The store stops answering while it writes much, and a pool lives on while its store is away.
    assert ("livenessProbe" in one) == (name in ("service", "store"))
    for probe in (one[kind] for kind in one if kind.endswith("Probe")):
        asked = probe["httpGet"]["path"] if "httpGet" in probe else " ".join(probe["exec"]["command"])
        assert asked == {"service": "/healthz", "store": "valkey-cli ping"}.get(name, f"pourwright {name}-health")


@pytest.mark.parametrize("name", OURS)
def test_each_runs_the_image_by_a_word_that_it_knows(name: str) -> None:
    entry = (ROOT / "docker" / "entry.sh").read_text()
    assert container(name)["image"] == KUSTOMIZATION["images"][0]["name"]
    assert container(name)["args"] == [name] and f"    {name}) " in entry
    assert PODS[name]["spec"]["securityContext"]["runAsUser"] == 10001
    assert {mount["mountPath"] for mount in container(name)["volumeMounts"]} >= {"/tmp", "/state"}


@pytest.mark.parametrize("name", OURS)
def test_what_is_set_can_be_loaded(name: str) -> None:
    given = set_for(name)
    assert set(given) <= {setting.name for setting in SETTINGS}
    (service,) = (one for one in of_kind("Service") if one["metadata"]["name"] == "pourwright-store")
    port = service["spec"]["ports"][0]["port"]
    settings = load(given)
    assert settings.store_url == f"redis://pourwright-store:{port}/0"
    if name != "courier":
        mounted = {mount["mountPath"] for mount in container("service")["volumeMounts"]}
        assert settings.artifacts == "s3://pourwright-baits" and str(settings.keys_file) == "/keys/keys.json"
        assert "/keys" in mounted
    else:
        assert "envFrom" not in container(name), "no key, no bucket, no secret of links"


def test_addresses_of_services_do_not_come_in_as_settings() -> None:
    """A Service called `pourwright` would set POURWRIGHT_PORT to an address, which is not one that we could load."""
    assert all(pod["spec"]["enableServiceLinks"] is False for pod in PODS.values())
    with pytest.raises(SettingsInvalid):
        load({"POURWRIGHT_PORT": "tcp://10.0.0.1:80"})


def test_each_has_its_own_time_to_stop() -> None:
    stop = {name: pod["spec"]["terminationGracePeriodSeconds"] for name, pod in PODS.items()}
    pause = int(container("service")["lifecycle"]["preStop"]["exec"]["command"][1])
    assert stop["service"] > pause + LONGEST_WAIT_S + 5
    assert stop["worker"] > load({}).job_limit_s + 2
    assert stop["courier"] > load({}).webhook_limit_s and stop["store"] > 0


def test_the_store_keeps_what_it_has_taken_as_the_compose_file_has_it() -> None:
    compose = yaml.safe_load((ROOT / "docker" / "compose.yaml").read_text())["services"]["store"]
    assert container("store")["args"] == compose["command"] and container("store")["image"] == compose["image"]
    own = PODS["store"]["spec"]["securityContext"]
    assert f"{own['runAsUser']}:{own['runAsGroup']}" == compose["user"]
    (store,) = of_kind("StatefulSet")
    assert store["spec"]["volumeClaimTemplates"][0]["metadata"]["name"] == "data"


def test_workers_are_as_many_as_what_waits_asks_for() -> None:
    (scaler,) = of_kind("HorizontalPodAutoscaler")
    (worker,) = (one for one in of_kind("Deployment") if one["metadata"]["name"] == "pourwright-worker")
    target = scaler["spec"]["scaleTargetRef"]
    assert (target["kind"], target["name"]) == ("Deployment", "pourwright-worker")
    assert "replicas" not in worker["spec"], "or each apply would undo what the scaler did"
    assert scaler["spec"]["minReplicas"] >= 1, "nobody is there to tell what waits of no workers at all"
    served = (ROOT / "service" / "metrics.py").read_text()
    told = (FOLDER / "worker.yaml").read_text()
    assert all(
        f'"{name}"' in served and name in told for name in ("pourwright_baits_waiting", "pourwright_baits_in_flight")
    )


def test_everything_that_is_selected_is_there() -> None:
    labels = [pod["metadata"]["labels"] for pod in PODS.values()]
    ports = {one["name"]: one["containerPort"] for name in PODS for one in container(name).get("ports", [])}
    selectors = [
        document["spec"]["selector"].get("matchLabels", document["spec"]["selector"])
        for document in DOCUMENTS
        if "selector" in document.get("spec", {})
    ]
    selectors += [one["spec"]["podSelector"].get("matchLabels", {}) for one in of_kind("NetworkPolicy")]
    for wanted in selectors:
        assert any(wanted.items() <= own.items() for own in labels), wanted
    for service in of_kind("Service"):
        assert all(port["targetPort"] in ports for port in service["spec"]["ports"])
    listened = set(ports.values())
    for policy in of_kind("NetworkPolicy"):
        for rule in policy["spec"].get("ingress", []):
            assert {port["port"] for port in rule["ports"]} <= listened
