// Fuses, breakers and battery management that open on what charges capacitors as a contact closes.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "checker/parts/time_current.hpp"
#include "checker/rules/fed_capacitors.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/switching/unstated_order.hpp"

namespace loomward::rules::charging_surges {
namespace {

constexpr RuleInfo infos[] = {
    {"charging-surge",
     "a fuse, breaker or battery management that opens on what charges capacitors as a contact closes: it "
     "opens whenever the machine is switched on, or ages with it until it does",
     "i(t) = I exp(-t / tau), tau = C dU / I; opens where the sum of dt / t(i) reaches 1: a fuse by I^2 tau "
     "/ 2 "
     "against its joule integral, a battery management by tau ln(I / I_trip) against its delay",
     "circuit theory; the time-current band of the device",
     "every pack full, smallest resistances, no inductance and no resistance of the capacitors themselves; "
     "an "
     "error where the slow edge is reached, a warning where the fast edge is; capacitors of less than 1 J "
     "are let off: what is left out here takes most of theirs",
     "capacitance 3000 mF", "capacitance 3 mF"},
};

constexpr double least_J = 1;  // as for contacts that weld (rule no-precharge)
constexpr int steps = 600;
constexpr double constants = 6;  // after these nothing is left that counts

// What a device has come to when a current that decays has gone through it, beside one that stays while it
// does: from 1 on it is open.
double share_of(const Band& band, bool slow, double first_A, double tau_s, double beside_A) {
    double share = 0;
    const double step_s = constants * tau_s / steps;
    for (int i = 0; i < steps; ++i) {
        const double now_A = beside_A + (first_A - beside_A) * std::exp(-(i + 0.5) * step_s / tau_s);
        const double time_s =
            slow ? band.slow_s(now_A) : band.fast_s(now_A).value_or(std::numeric_limits<double>::infinity());
        share += step_s / std::max(time_s, 1e-9);
    }
    return share;
}

// The capacitors that make the surge. One behind a resistor takes a small part of it for a long time: a
// surge of its own, that of what precharges it.
struct Brisk {
    double charge_As = 0, energy_J = 0;
    double beside_A = 0;  // what the others draw meanwhile
    const CapacitorState* main = nullptr;
};
constexpr double trickle = 0.05;  // of the current at first; no source

Brisk brisk_of(const Fed& fed, const ModeEntry& entry, double peak_A) {
    Brisk brisk;
    double most_J = 0;
    for (const CapacitorState* each : fed.capacitors) {
        const double now_A = std::abs(entry.moment.edge_A[each->edge.index()]);
        if (now_A < trickle * peak_A) {
            brisk.beside_A += now_A;
            continue;
        }
        const double lacks = std::abs(lacks_V(*each)), energy_J = each->capacitance_F * lacks * lacks / 2;
        brisk.charge_As += each->capacitance_F * lacks;
        brisk.energy_J += energy_J;
        if (energy_J > most_J) most_J = energy_J, brisk.main = each;
    }
    return brisk;
}

struct Surge {
    EdgeId device;
    double first_A = 0, tau_s = 0;
    double share = 0;
    bool surely = false;
};

void tell(const RuleInput& input, const ModeEntry& entry, const ClosingContact& contact, const Brisk& fed,
          const Surge& surge, const Band& band, Report& report) {
    const PartId device = input.circuit.edge(surge.device).part;
    const Severity severity = surge.surely ? Severity::error : Severity::warning;
    const std::string seconds = to_text(surge.tau_s, Dimension::time);
    const std::string capacitors = named(input.harness, input.circuit.edge(fed.main->edge).part);
    const std::string closes = named(input.harness, input.circuit.edge(contact.edge).part);
    Finding finding = finding_about(input, "charging-surge", severity, device);
    finding.message = named(input.harness, device) +
                      (band.electronic ? (surge.surely ? " trips" : " may trip")
                                       : (surge.surely ? " opens" : " may open")) +
                      " when " + closes + " closes onto the capacitors of " + capacitors;
    finding.beside = amps(surge.first_A) + " at first, gone with " + seconds;
    finding.working = {
        seconds + " = " + to_text(surge.tau_s * surge.first_A, Dimension::none) + " As / " +
            amps(surge.first_A) + " (C dU / I)",
        to_text(surge.first_A * surge.first_A * surge.tau_s / 2, Dimension::none) + " A2s = I^2 tau / 2",
        to_text(surge.share, Dimension::none) + " >= 1 (sum of dt / t(i), " +
            (surge.surely ? "slow" : "fast") + " edge, " + band.source + ")"};
    finding.figures = {{"current", surge.first_A, Dimension::current}, {"tau", surge.tau_s, Dimension::time}};
    finding.source = "circuit theory; " + band.source;
    witnessed(input, finding, entry.moment, surge.device);
    finding.mode = entry.mode;
    finding.related.push_back(
        {input.harness.part(input.circuit.edge(contact.edge).part).where, closes + " is here"});
    finding.help =
        "a precharge resistor and a mode that precharges ('after' says that and for how long), or a "
        "device that bears it, if the wires behind it may carry its rated current";
    report.add(std::move(finding));
}

void judge(const RuleInput& input, const ModeEntry& entry, const ClosingContact& contact,
           std::map<PartId, std::pair<bool, double>>& told, Report& report) {
    const double peak_A = std::abs(contact.current_A);
    if (peak_A < 1e-3 || may_be_precharged(input.circuit, input.facts, entry, contact.edge)) return;
    const Fed fed = fed_through(input, entry, contact);
    if (!fed.main || fed.energy_J < least_J) return;
    const CurrentPath path = trace_current(input.circuit, entry.moment, contact.edge);
    for (const EdgeId id : path.edges) {
        const Edge& edge = input.circuit.edge(id);
        if (!opens_on_current(edge.role)) continue;
        const double first_A = std::abs(entry.moment.edge_A[id.index()]);
        const Brisk brisk = brisk_of(fed, entry, std::max(first_A, peak_A));
        if (!brisk.main || brisk.energy_J < least_J) continue;
        const double tau_s = brisk.charge_As / (peak_A - brisk.beside_A);
        Surge surge{id, first_A, tau_s};
        const Quantity ambient = input.facts.ambient(edge.part, entry.mode);
        const Band band = band_of(input.facts, edge.part, ambient.lo, ambient.hi);
        surge.share = share_of(band, true, surge.first_A, tau_s, brisk.beside_A);
        surge.surely = surge.share >= 1;
        if (!surge.surely) surge.share = share_of(band, false, surge.first_A, tau_s, brisk.beside_A);
        if (surge.share < 1) continue;
        std::pair<bool, double>& worst = told[edge.part];
        const std::pair<bool, double> now(surge.surely, surge.first_A);
        if (now <= worst) continue;
        worst = now;
        tell(input, entry, contact, brisk, surge, band, report);
    }
}

void run(const RuleInput& input, Report& report) {
    std::map<PartId, std::pair<bool, double>> told;  // by device: surely, and the first current, A
    for (const ModeEntry& entry : input.transients.entries) {
        if (entry.corner != Corner::run_full || contradicts(input, entry.mode)) continue;
        for (const ClosingContact& contact : entry.closing) judge(input, entry, contact, told, report);
    }
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::charging_surges
