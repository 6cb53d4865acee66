// Charged capacitors that a contact puts onto a rail of lower voltage, on which no pack holds them down.
#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::stored_overvoltage {
namespace {

using namespace literals;

constexpr double told_J = 0.1, breaks_J = 1;  // above what the part stands; no source

constexpr RuleInfo infos[] = {
    {"stored-overvoltage",
     "a load, coil, converter or controller that gets more than it stands as a contact closes, from a "
     "capacitor that was charged elsewhere",
     "U = sum(C U) / sum(C) of the capacitors that then lie side by side <= largest input voltage",
     "circuit theory: charge stays",
     "packs full, in modes that say what they are entered from; rails on which a pack lies are left out: it "
     "takes the charge; an error where 1 J or more lies above what the part stands, a warning from 0.1 J on",
     "capacitor C9 { 10 mF, 80 V }\n"
     "switch S8 { 80 V dc, carries 5 A, makes 20 A, breaks 2 A at 60 V dc }\n"
     "switch S9 { 80 V dc, carries 5 A, makes 20 A, breaks 2 A at 60 V dc }\n"
     "load H9 { 12 V, 5 W, acts-as power, works 9..15 V }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) S8 (W31 1 mm2, 0.3 m, red) C9 (W32 1 mm2, 0.3 m, black) Q1.P-\n"
     "route C9.+ (W33 1 mm2, 0.3 m, red) S9 (W34 1 mm2, 0.3 m, red) H9 (W35 1 mm2, 0.3 m, black) Q1.P-\n"
     "mode fill { others at rest, S1 S8 closed }\n"
     "mode give { others at rest, after fill 3 s, S9 closed }\nsplice X1",
     "splice X1"},
};

// The highest voltage that a part stands; nullopt: nobody says.
std::optional<double> stands_V(const RuleInput& input, const Edge& edge) {
    if (edge.role == EdgeRole::coil) {
        if (const auto works = input.facts.quantity(edge.part, "coil-works"_attr)) return works->hi;
        const auto rated = input.facts.quantity(edge.part, "coil"_attr, 0);
        return rated ? std::optional(1.6 * rated->hi) : std::nullopt;
    }
    if (!uses_power(edge.role)) return std::nullopt;
    const bool load = input.harness.part(edge.part).kind == Kind::load;
    if (const auto range = input.facts.quantity(edge.part, load ? "works"_attr : "input"_attr))
        return range->hi;
    const auto rated = load ? input.facts.quantity(edge.part, "(rated-voltage)"_attr) : std::nullopt;
    return rated ? std::optional(1.35 * rated->hi) : std::nullopt;
}

struct Rail {
    double charge_C = 0, farad = 0, highest_V = 0;
    EdgeId highest;
    std::string sum;  // "20 mF x 82 V + 100 uF x 0 V"
    double volts() const { return farad > 0 ? charge_C / farad : 0; }
};

class Rails {
  public:
    Rails(const RuleInput& input, const ModeEntry& entry)
        : input_(input), joined_(pieces(input.circuit, [&](EdgeId id) {
              const Edge& edge = input.circuit.edge(id);
              return is_conductor(edge.role) &&
                     is_closed(input.circuit, input.harness.modes[entry.mode.index()], edge);
          })) {
        for (const CapacitorState& each : entry.capacitors) {
            Rail& rail = rails_[key(input.circuit.edge(each.edge))];
            rail.charge_C += each.capacitance_F * each.before_V;
            rail.farad += each.capacitance_F;
            rail.sum += (rail.sum.empty() ? "" : " + ") +
                        to_text(each.capacitance_F, Dimension::capacitance) + " x " + volts(each.before_V);
            if (each.before_V <= rail.highest_V) continue;
            rail.highest_V = each.before_V;
            rail.highest = each.edge;
        }
        // Where packs lead from the plus to the minus they hold it, one or several in line.
        DisjointSets over_packs = pieces(input.circuit, [&](EdgeId id) {
            const Edge& edge = input.circuit.edge(id);
            return edge.role == EdgeRole::emf ||
                   (is_conductor(edge.role) &&
                    is_closed(input.circuit, input.harness.modes[entry.mode.index()], edge));
        });
        std::erase_if(rails_,
                      [&](const auto& each) { return over_packs.same(each.first.first, each.first.second); });
    }
    // Between the plus and the minus of a part; nullptr: no capacitor lies there, or a pack does.
    const Rail* at(const Edge& edge) {
        const auto found = rails_.find(key(edge));
        return found == rails_.end() ? nullptr : &found->second;
    }

  private:
    std::pair<std::size_t, std::size_t> key(const Edge& edge) {
        return {joined_.find(edge.from.index()), joined_.find(edge.to.index())};
    }

    const RuleInput& input_;
    DisjointSets joined_;
    std::map<std::pair<std::size_t, std::size_t>, Rail> rails_;
};

// What the mode before had it at already is told of there.
bool was_there(const RuleInput& input, const ModeEntry& entry, const Edge& part, const Edge& capacitor) {
    DisjointSets before = pieces(input.circuit, [&](EdgeId id) {
        const Edge& edge = input.circuit.edge(id);
        return is_conductor(edge.role) &&
               is_closed(input.circuit, input.harness.modes[entry.from.index()], edge);
    });
    return before.same(part.from.index(), capacitor.from.index()) &&
           before.same(part.to.index(), capacitor.to.index());
}

std::optional<Finding> judged(const RuleInput& input, const ModeEntry& entry, const Edge& edge,
                              const Rail& rail) {
    const auto most_V = stands_V(input, edge);
    const double now_V = rail.volts();
    if (!most_V || !above(now_V, *most_V)) return std::nullopt;
    const Edge& capacitor = input.circuit.edge(rail.highest);
    const double above_J = rail.farad * (now_V * now_V - *most_V * *most_V) / 2;
    if (above_J < told_J || capacitor.part == edge.part || was_there(input, entry, edge, capacitor))
        return std::nullopt;
    const std::string store = named(input.harness, capacitor.part), who = named(input.harness, edge.part);
    Finding finding = finding_about(input, "stored-overvoltage",
                                    above_J >= breaks_J ? Severity::error : Severity::warning, edge.part);
    finding.message = store + " empties into " + who + ", which stands less";
    finding.beside = volts(now_V) + " as mode " + std::string(input.harness.modes[entry.mode.index()].name) +
                     " begins; stands " + volts(*most_V);
    finding.working = {
        volts(now_V) + " = (" + rail.sum + ") / " + to_text(rail.farad, Dimension::capacitance),
        to_text(above_J, Dimension::energy) + " = C (U^2 - " + volts(*most_V) +
            "^2) / 2 above what it stands"};
    finding.figures = {{"voltage", now_V, Dimension::voltage}, {"energy", above_J, Dimension::energy}};
    finding.source = "circuit theory: charge stays; rating of the part";
    finding.mode = entry.mode;
    finding.corner = entry.corner;
    finding.related.push_back({input.harness.part(capacitor.part).where, store + " is here"});
    finding.help = "let " + store +
                   " down first, through a resistor, or a mode between that does; or a part "
                   "that stands " +
                   volts(std::ceil(now_V));
    return finding;
}

void run(const RuleInput& input, Report& report) {
    std::map<PartId, Finding> worst;
    for (const ModeEntry& entry : input.transients.entries) {
        if (entry.corner != Corner::run_full || !entry.from || contradicts(input, entry.mode)) continue;
        Rails rails(input, entry);
        for (const Edge& edge : input.circuit.edges) {
            const Rail* rail = rails.at(edge);
            std::optional<Finding> finding =
                rail && rail->highest ? judged(input, entry, edge, *rail) : std::nullopt;
            if (!finding) continue;
            const auto known = worst.find(edge.part);
            if (known == worst.end())
                worst.emplace(edge.part, std::move(*finding));
            else if (finding->figures.back().value > known->second.figures.back().value * 1.01)
                known->second = std::move(*finding);
        }
    }
    for (auto& [part, finding] : worst) report.add(std::move(finding));
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::stored_overvoltage
