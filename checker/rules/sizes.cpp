// Wires against the cross-sections their terminals take, each and together.
#include <algorithm>
#include <map>

#include "checker/parts/ratings.hpp"
#include "checker/rules/cures.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::sizes {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"size-mismatch", "a wire that is thicker or thinner than the contact or clamp it ends in takes",
     "takes.smallest <= S x parallel <= takes.largest", "rating of the part",
     "AWG sizes are compared by their area, with 3 % of grace", "takes 4..10 mm2", "takes 10..16 mm2"},
    {"crowded-contact",
     "wires that together are thicker than the contact that they land in takes, although each of them fits; "
     "and "
     "more than four wires on one stud",
     "sum of S x parallel <= takes.largest; of a way of a terminal block: of each of its two clamps, filled "
     "as "
     "evenly as they can be; of a stud: 4 wires",
     "rating of the part; ABYC E-11 11.14.5.7 (memory): no more than four on one stud",
     "AWG sizes are compared by their area, with 3 % of grace",
     "splice X1\nroute K1.out (W30 10 mm2, 0.8 m, red) J1.1", "splice X1"},
};

void judge(const RuleInput& input, WireId id, TerminalId at, Report& report) {
    const Wire& wire = input.harness.wire(id);
    const Terminal& terminal = input.harness.terminal(at);
    const std::optional<Quantity> range = takes_area(input.harness, at);
    if (!range) return;
    const double area_mm2 = wire.area.hi * wire.parallel;
    if (area_mm2 >= range->lo * 0.97 && area_mm2 <= range->hi * 1.03) return;
    const bool thick = area_mm2 > range->hi;
    Finding finding = finding_about(input, "size-mismatch", Severity::error, id);
    finding.message = named(input.harness, id) + " is too " + (thick ? "thick" : "thin") + " for " +
                      std::string(terminal.path);
    const std::string size = wire.parallel > 1
                                 ? std::to_string(wire.parallel) + " x " + std::string(wire.size_text)
                                 : std::string(wire.size_text);
    finding.beside = size + "; it takes " + to_text(*range);
    finding.working = {
        to_text(area_mm2, Dimension::area) +
        (thick ? " > " + to_text(range->hi, Dimension::area) : " < " + to_text(range->lo, Dimension::area))};
    finding.figures = {{"area", area_mm2, Dimension::area}};
    finding.source = "rating of the part";
    finding.related.push_back(
        {input.harness.part(terminal.part).where, named(input.harness, terminal.part) + " is here"});
    finding.help =
        thick ? "a contact that takes " + to_text(area_mm2, Dimension::area) +
                    ", or a thinner wire if it carries the current"
              : "a wire of " + to_text(range->lo, Dimension::area) + " or more, or a contact for thin wires";
    const Harness& harness = input.harness;
    const bool own = harness.own_contact_at(at) != nullptr;
    const Attr takes = own ? "contact"_attr : "takes"_attr;
    if (thick)
        finding.cures = {at_most(harness, id, "(area)"_attr, range->hi / wire.parallel, Dimension::area),
                         or_else(own ? at_least(harness, at, takes, area_mm2, Dimension::area)
                                     : at_least(harness, terminal.part, takes, area_mm2, Dimension::area))};
    else
        finding.cures = {at_least(harness, id, "(area)"_attr, range->lo / wire.parallel, Dimension::area)};
    report.add(std::move(finding));
}

struct Landing {
    WireId wire;
    double area_mm2 = 0;
};

// The thicker of two clamps when the wires are shared out as evenly as they can be: the largest first, each
// into the emptier one.
double fuller_clamp_mm2(std::vector<Landing> wires) {
    std::stable_sort(wires.begin(), wires.end(),
                     [](const Landing& a, const Landing& b) { return a.area_mm2 > b.area_mm2; });
    double clamps[2] = {0, 0};
    for (const Landing& each : wires) *std::min_element(clamps, clamps + 2) += each.area_mm2;
    return std::max(clamps[0], clamps[1]);
}

void tell_crowd(const RuleInput& input, TerminalId at, const std::vector<Landing>& wires,
                const std::string& beside, const std::string& working, const std::string& source,
                Report& report) {
    const Terminal& terminal = input.harness.terminal(at);
    Finding finding = finding_about(input, "crowded-contact", Severity::warning, terminal.part);
    finding.subject = terminal.path;
    finding.message = std::to_string(wires.size()) + " wires land on " + std::string(terminal.path) +
                      ", more than it takes";
    finding.beside = beside;
    finding.working = {working};
    finding.source = source;
    for (const Landing& each : wires)
        finding.related.push_back(
            {input.harness.wire(each.wire).where, named(input.harness, each.wire) + " is here"});
    finding.help = "a splice or a bar before it, and one wire on";
    report.add(std::move(finding));
}

void judge_crowd(const RuleInput& input, TerminalId at, const std::vector<Landing>& wires, Report& report) {
    const Kind kind = input.harness.part(input.harness.terminal(at).part).kind;
    constexpr std::size_t most_on_a_stud = 4;
    if ((kind == Kind::stud || kind == Kind::busbar) && wires.size() > most_on_a_stud)
        return tell_crowd(input, at, wires, "a stud takes four",
                          std::to_string(wires.size()) + " > 4 on one stud", "ABYC E-11 11.14.5.7 (memory)",
                          report);
    const auto range = takes_area(input.harness, at);
    if (!range || wires.size() < 2) return;
    double sum_mm2 = 0;
    std::string sum;
    for (const Landing& each : wires) {
        // One that is too thick by itself is told by itself.
        if (each.area_mm2 > range->hi * 1.03) return;
        sum_mm2 += each.area_mm2;
        sum += (sum.empty() ? "" : " + ") + to_text(each.area_mm2, Dimension::area);
    }
    const bool two_clamps = kind == Kind::terminal_block;
    const double filled_mm2 = two_clamps ? fuller_clamp_mm2(wires) : sum_mm2;
    if (filled_mm2 <= range->hi * 1.03) return;
    tell_crowd(
        input, at, wires,
        to_text(filled_mm2, Dimension::area) + (two_clamps ? " in one of its clamps" : " in all") +
            "; it takes " + to_text(*range),
        sum + " = " + to_text(sum_mm2, Dimension::area) +
            (two_clamps ? ", of which " + to_text(filled_mm2, Dimension::area) + " in one clamp" : "") +
            " > " + to_text(range->hi, Dimension::area),
        "rating of the part", report);
}

void run(const RuleInput& input, Report& report) {
    std::map<TerminalId, std::vector<Landing>> landings;
    for (std::size_t i = 0; i < input.harness.wires.size(); ++i) {
        const Wire& wire = input.harness.wires[i];
        if (!wire.area.is_known()) continue;
        judge(input, WireId(i), wire.from, report);
        judge(input, WireId(i), wire.to, report);
        for (const TerminalId end : {wire.from, wire.to})
            landings[end].push_back({WireId(i), wire.area.hi * wire.parallel});
    }
    for (const auto& [terminal, wires] : landings) judge_crowd(input, terminal, wires, report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::sizes
