// Contacts that close onto capacitors: empty ones, half-charged ones, and ones that stand above what they
// are put onto: which way the current of the first moment goes makes no difference to a contact.
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "checker/parts/arcs.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/printed_figures.hpp"
#include "checker/rules/closing_order.hpp"
#include "checker/rules/fed_capacitors.hpp"
#include "checker/rules/rule_support.hpp"
#include "checker/switching/unstated_order.hpp"
#include "checker/switching/unstated_time.hpp"

namespace loomward::rules::precharge {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"no-precharge",
     "a contact that closes onto empty capacitors with more current than it may close on, or onto full ones "
     "that stand above the pack they are put onto: a switch, contactor, relay or selector, or the contacts "
     "of a connector that is mated live",
     "I = |U - U_capacitor| / R_loop <= makes; C dU^2 / 2 decides how much it hurts",
     "circuit theory; error from 1 J (common practice, no source)",
     "every pack full, but where a mode moves capacitors from one to another the first full and the second "
     "empty; smallest resistances, no inductance and no resistance of the capacitors themselves; "
     "full ones of less than half the size give nothing that counts; of contacts in line that close together "
     "one that can take it is enough, a hand being before a coil; what some mode has closed and none closes "
     "is taken to close last, with all else as in the mode where that is mildest, where 1 J or more "
     "lies behind it, and of more than 64 such parts those that carry most; a mode without 'after' "
     "closes what its own lines close, onto what "
     "nothing fed before but for a moment what it takes over (50 ms, too short for a precharge resistor); "
     "from 0.1 J a note, from 1 J an error, below nothing; of a contact in line with a resistor of which "
     "nobody says what it makes, nothing below 0.4 A, which draws no arc; a connector is warned of where it "
     "carries less than the peak",
     "mode drive { others at rest, K1", "mode drive { others at rest, after ready 3 s, K1"},
    {"slow-precharge",
     "a contact that closes before the capacitors are as full as the policy asks, because the time is too "
     "short or because a load holds them down",
     "U_capacitor >= precharge-to x U; t = -R C ln(1 - q); with a load U_end = U Rl / (R + Rl)",
     "circuit theory; 90 % Formula SAE EV.5.6.1, 95 % Formula Student EV 5.7 (memory)",
     "controllers at rest; largest capacitance and precharge resistor; at an empty pack only where what is "
     "missing is 0.1 J or more; an error where the rest still is more than the contact makes and 1 J or more",
     "after ready 300 ms,", "after ready 3 s,"},
};

constexpr double error_J = 1, note_J = 0.1;

std::string joules(double value) {
    return to_text(value, Dimension::energy);
}
std::string percent(double share) {
    return to_text(share * 100, Dimension::percentage);
}

std::string name_of(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::contact)
        return "contact " + std::string(input.harness.terminal(edge.from_terminal).path);
    return named(input.harness, edge.part);
}
std::string subject_of(const RuleInput& input, const Edge& edge) {
    return std::string(edge.role == EdgeRole::contact ? input.harness.terminal(edge.from_terminal).path
                                                      : input.harness.part(edge.part).name);
}
std::string capacitor_name(const RuleInput& input, const CapacitorState& state) {
    return named(input.harness, input.circuit.edge(state.edge).part);
}
std::string_view mode_name(const RuleInput& input, ModeId mode) {
    return input.harness.modes[mode.index()].name;
}

// Whether the mode before had a way to charge it at all.
bool has_precharge(const ModeEntry& entry, const CapacitorState& state) {
    return entry.from && state.reaches_V > 0.2 * state.settles_V;
}

// The contacts that close in the same moment and share a current of this size.
std::string closing_names(const RuleInput& input, const ModeEntry& entry, double peak_A) {
    std::string names;
    for (const ClosingContact& each : entry.closing)
        if (std::abs(each.current_A) >= 0.1 * peak_A)
            names += (names.empty() ? "" : ", ") + subject_of(input, input.circuit.edge(each.edge));
    return names;
}

std::vector<std::string> inrush_working(const RuleInput& input, const ModeEntry& entry,
                                        const ClosingContact& contact, const Fed& fed) {
    const double peak_A = std::abs(contact.current_A), step_V = std::abs(contact.before_V);
    const std::string packs = entry.corner == Corner::run_full ? "pack full" : "pack empty";
    std::vector<std::string> working;
    // Where another contact holds the voltage off until both close, that across this one says nothing.
    if (step_V < 0.02 * std::abs(lacks_V(*fed.main)))
        working.push_back(amps(peak_A) + " flow as " + closing_names(input, entry, peak_A) +
                          " close together (" + packs + ")");
    else
        working.push_back(amps(peak_A) + " = " + volts(step_V) + " / " + ohms(step_V / peak_A) +
                          " (voltage across the open contact, resistance of the loop; " + packs + ")");
    for (const CapacitorState* each : fed.capacitors)
        working.push_back(capacitor_name(input, *each) + ": " +
                          to_text(each->capacitance_F, Dimension::capacitance) + " at " +
                          volts(each->before_V) + " as the contact closes, " + volts(each->settles_V) +
                          (fed.gives() ? " in the end" : " when charged"));
    if (entry.from_other_pack)
        working.emplace_back("the pack that charged them taken as full, the one that is put on as empty");
    working.push_back(joules(fed.energy_J) + " = C dU^2 / 2 turn into heat in the loop and the contact");
    if (!entry.from && fed.main->before_V < 0.95 * fed.main->settles_V) {
        working.push_back("mode " + std::string(mode_name(input, entry.mode)) +
                          " does not say what it is entered from ('after'): taken as not precharged, what it "
                          "takes over from another mode as " +
                          seconds(unstated_s) + " old");
        input.facts.assume("time a mode without `after` takes over", seconds(unstated_s), "no source",
                           mode_name(input, entry.mode));
    }
    return working;
}

Finding begin(const RuleInput& input, std::string_view rule, Severity severity, const ModeEntry& entry,
              const ClosingContact& contact, const Fed& fed) {
    const Edge& edge = input.circuit.edge(contact.edge);
    Finding finding = finding_about(input, rule, severity, edge.part);
    finding.subject = subject_of(input, edge);
    finding.working = inrush_working(input, entry, contact, fed);
    finding.figures = {{"peak", std::abs(contact.current_A), Dimension::current},
                       {"energy", fed.energy_J, Dimension::energy}};
    finding.source = "circuit theory: I = U/R, E = C U^2 / 2";
    witnessed(input, finding, entry.moment, contact.edge);
    finding.related.push_back({input.harness.part(input.circuit.edge(fed.main->edge).part).where,
                               capacitor_name(input, *fed.main) + " is here"});
    return finding;
}

// The currents a contact is judged by.
struct May {
    std::optional<double> makes_A;
    std::optional<double> carries_A;
};
May may(const RuleInput& input, const Edge& edge) {
    May found;
    const bool connector = edge.role == EdgeRole::contact;
    const auto makes = connector ? std::nullopt : input.facts.quantity(edge.part, "makes"_attr);
    const auto carries = input.facts.quantity(edge.part, "carries"_attr);
    if (makes) found.makes_A = makes->lo;
    if (carries) found.carries_A = carries->lo;
    return found;
}

// What would let the contact close: a lower voltage across it, or a smaller step.
std::string closing_help(const May& allowed, const Fed& fed, double peak_A) {
    if (fed.energy_J < error_J) return "small capacitors: the contact wears, but does not weld";
    std::string help = fed.gives() ? "let the capacitors down first, or bring them to the lower voltage "
                                     "through a resistor; a mode between says so with 'after'"
                                   : "a precharge resistor and a mode that precharges; 'after' says that and "
                                     "for how long";
    if (!allowed.makes_A) return help;
    if (fed.gives())
        return help + "; from " + volts(std::abs(lacks_V(*fed.main)) * *allowed.makes_A / peak_A) +
               " above it on could close";
    return help + "; from " + percent(1 - *allowed.makes_A / peak_A) + " of the voltage on it could close";
}

void judge_at_once(const RuleInput& input, const ModeEntry& entry, const ClosingContact& contact,
                   const Fed& fed, Report& report) {
    const Edge& edge = input.circuit.edge(contact.edge);
    const double peak_A = std::abs(contact.current_A);
    const May allowed = may(input, edge);
    const bool connector = edge.role == EdgeRole::contact;
    const bool known = allowed.makes_A.has_value();
    const double limit_A = known ? *allowed.makes_A : allowed.carries_A.value_or(0);
    if (!above(peak_A, limit_A) || fed.energy_J < note_J) return;
    if (!known && peak_A < no_arc_A && closes_through_resistor(input, entry, contact.edge)) return;
    // Of a contact of which nobody says what it makes that it may weld is possible.
    Severity severity = fed.energy_J < error_J ? Severity::note
                        : connector            ? Severity::warning
                                               : Severity::error;
    if (!known && !connector && severity == Severity::note) return;
    Finding finding = begin(input, "no-precharge", severity, entry, contact, fed);
    const std::string onto = capacitor_name(input, *fed.main);
    if (connector) {
        finding.message = name_of(input, edge) + " is mated live onto the " +
                          (fed.gives() ? "higher" : "empty") + " capacitors of " + onto;
        finding.beside =
            amps(peak_A) + " as they touch, " + joules(fed.energy_J) + "; carries " + amps(limit_A);
        finding.help =
            "a resistor on a leading contact, or a contact that closes after mating, with precharge";
    } else {
        finding.message = name_of(input, edge) + " closes onto the " +
                          (fed.gives() ? "capacitors of " + onto + ", which stand above what it puts them to"
                                       : "empty capacitors of " + onto);
        finding.beside = amps(peak_A) + " at first, " + joules(fed.energy_J) + "; " +
                         (known ? "makes " + amps(limit_A) : "nobody says what it makes");
        finding.help = closing_help(allowed, fed, peak_A);
        finding.possible = !known;
        if (!known) finding.hangs_on.push_back(made_below(input, edge.part, peak_A));
    }
    report.add(std::move(finding));
}

// The precharge resistor that would do in the time there is.
std::string slow_help(const RuleInput& input, const ModeEntry& entry, const CapacitorState& state) {
    const std::string from(mode_name(input, entry.from));
    if (!std::isfinite(state.needed_s))
        return "something draws current while it precharges: switch it off in mode " + from +
               ", or a smaller precharge resistor";
    return "let mode " + from + " last " + seconds(state.needed_s * 1.05) +
           " or longer, or a smaller precharge resistor";
}

void judge_slow(const RuleInput& input, const ModeEntry& entry, const ClosingContact& contact, const Fed& fed,
                Report& report) {
    const Edge& edge = input.circuit.edge(contact.edge);
    const CapacitorState& state = *fed.main;
    const double wanted = input.facts.policy("precharge-to"_attr).lo / 100;
    const double share = state.before_V / state.settles_V;
    const May allowed = may(input, edge);
    const double peak_A = std::abs(contact.current_A);
    // Of a contact of which nobody says what it makes, what it carries, as where nothing precharges.
    const bool known = allowed.makes_A.has_value();
    const auto limit_A = known ? allowed.makes_A : allowed.carries_A;
    const bool welds = limit_A && peak_A > *limit_A && fed.energy_J >= error_J;
    // At an empty pack a small load looks large as a share: there it has to matter.
    const bool slow = share < wanted * 0.9999 && (entry.corner == Corner::run_full || fed.energy_J >= note_J);
    if (!slow && !welds) return;
    Finding finding =
        begin(input, "slow-precharge", welds ? Severity::error : Severity::warning, entry, contact, fed);
    finding.message = name_of(input, edge) + " closes before " + capacitor_name(input, state) + " is charged";
    finding.possible = welds && !known;
    if (finding.possible) finding.hangs_on.push_back(made_below(input, edge.part, peak_A));
    const std::string needs = std::isfinite(state.needed_s)
                                  ? percent(wanted) + " takes " + seconds(state.needed_s)
                                  : "it never gets beyond " + volts(state.reaches_V);
    finding.beside = percent(share) + " after " + seconds(entry.from_s) + "; " + needs;
    std::vector<std::string> lines{
        volts(state.before_V) + " of " + volts(state.settles_V) + " = " + percent(share) + " when mode " +
        std::string(mode_name(input, entry.from)) + " has lasted " + seconds(entry.from_s)};
    if (std::isfinite(state.resistance_ohm))
        lines.push_back(seconds(state.resistance_ohm * state.capacitance_F) + " = " +
                        ohms(state.resistance_ohm) + " x " +
                        to_text(state.capacitance_F, Dimension::capacitance) + " (time constant)");
    lines.push_back(std::isfinite(state.needed_s)
                        ? seconds(state.needed_s) + " until " + percent(wanted) + " of " +
                              volts(state.settles_V)
                        : "what draws current there holds it at " + volts(state.reaches_V) + ", below " +
                              percent(wanted) + " of " + volts(state.settles_V));
    finding.working.insert(finding.working.begin(), lines.begin(), lines.end());
    finding.figures.push_back({"reached", share * 100, Dimension::percentage});
    if (std::isfinite(state.needed_s)) finding.figures.push_back({"needed", state.needed_s, Dimension::time});
    finding.source =
        "circuit theory; " + percent(wanted) +
        " by policy precharge-to (90 % Formula SAE EV.5.6.1, 95 % Formula Student EV 5.7 (memory))";
    finding.related.push_back({input.harness.modes[entry.mode.index()].where,
                               "mode " + std::string(mode_name(input, entry.mode)) + " is entered here"});
    finding.help = slow_help(input, entry, state);
    report.add(std::move(finding));
}

// Another contact on the same way that closes at the same time and can take it: then that one is meant to.
bool left_to_another(const RuleInput& input, ClosingOrder& order, const ModeEntry& entry,
                     const ClosingContact& contact) {
    const CurrentPath path = trace_current(input.circuit, entry.moment, contact.edge);
    return std::any_of(entry.closing.begin(), entry.closing.end(), [&](const ClosingContact& other) {
        if (other.edge == contact.edge ||
            std::find(path.edges.begin(), path.edges.end(), other.edge) == path.edges.end() ||
            !order.closes_last_as_usual(entry.mode, path, contact.edge, other.edge))
            return false;
        const May allowed = may(input, input.circuit.edge(other.edge));
        return allowed.makes_A && *allowed.makes_A >= std::abs(other.current_A);
    });
}

// A part is told of once a rule, where it is worst.
void judge_entries(const RuleInput& input, Report& report) {
    struct Worst {
        Finding finding;
        double energy_J;
    };
    std::map<std::pair<std::string, PartId>, Worst> worst;
    ClosingOrder order(input);
    std::vector<const ModeEntry*> entries;
    for (const ModeEntry& entry : input.transients.entries) entries.push_back(&entry);
    for (const ModeEntry& entry : input.transients.changed_over) entries.push_back(&entry);
    for (const ModeEntry& entry : input.transients.closed_last) entries.push_back(&entry);
    for (const ModeEntry* each : entries) {
        const ModeEntry& entry = *each;
        if (contradicts(input, entry.mode)) continue;
        for (const ClosingContact& contact : entry.closing) {
            if (std::abs(contact.current_A) < 1e-3 ||
                may_be_precharged(input.circuit, input.facts, entry, contact.edge))
                continue;
            const Fed fed = fed_through(input, entry, contact);
            if (!fed.main) continue;
            const bool slow = !fed.gives() && has_precharge(entry, *fed.main);
            // Packs that are apart may be empty and full: the difference is largest at either corner.
            if (!slow && !fed.gives() && entry.corner != Corner::run_full) continue;
            Report found;
            slow ? judge_slow(input, entry, contact, fed, found)
                 : judge_at_once(input, entry, contact, fed, found);
            std::vector<Finding> findings = found.take();
            if (!findings.empty() && left_to_another(input, order, entry, contact)) continue;
            for (Finding& finding : findings) {
                if (entry.closed_last)
                    finding.working.push_back(
                        "no mode closes " + named(input.harness, entry.closed_last) +
                        ": it is taken to close last, with all else as in the mode where that is mildest");
                const auto [known, fresh] =
                    worst.try_emplace({finding.rule, finding.part}, Worst{finding, fed.energy_J});
                const Worst& old = known->second;
                if (!fresh &&
                    (finding.severity < old.finding.severity ||
                     (finding.severity == old.finding.severity && fed.energy_J > old.energy_J * 1.01)))
                    known->second = {std::move(finding), fed.energy_J};
            }
        }
    }
    for (auto& [key, found] : worst) report.add(std::move(found.finding));
}

void run(const RuleInput& input, Report& report) {
    judge_entries(input, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::precharge
