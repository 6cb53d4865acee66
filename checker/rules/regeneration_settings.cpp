#include "checker/rules/regeneration_settings.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <set>
#include <string>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules {
namespace {

using namespace literals;

struct Complaint {
    double ratio = 0;
    Severity severity = Severity::warning;
    PartId part;
    std::string beside, working;
    double passes_A = 0;  // all controllers together; 0: no regeneration would
    const OperatingPoint* point = nullptr;
    Figure now, limit;
};

class Settings {
  public:
    Settings(const RuleInput& input, const OperatingPoint& point) : input_(input), point_(point) {
        for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
            if (input.circuit.edges[i].role == EdgeRole::regeneration) {
                total_A_ += point.edge_A[i];
            }
    }

    std::vector<Complaint> look(EdgeId id) {
        complaints_.clear();
        stated_ = returned_in_modes(id);
        look_at_bus(id);
        look_at_neighbours(id);
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            const Edge& edge = input_.circuit.edges[i];
            if (edge.role == EdgeRole::emf) look_at_pack(edge, -point_.edge_A[i]);
            if (passes_on(edge.role)) look_at_way(edge, std::abs(point_.edge_A[i]));
            if (edge.role == EdgeRole::trip)
                look_at_bms(edge, -discharge_sign(input_.facts, edge) * point_.edge_A[i]);
        }
        return std::move(complaints_);
    }

  private:
    // Whether a mode has this very controller give back: it says in which weather.
    bool returned_in_modes(EdgeId id) const {
        return std::any_of(input_.points.begin(), input_.points.end(), [&](const OperatingPoint& each) {
            return each.usable() && each.edge_A[id.index()] > 1e-3;
        });
    }

    // Packs that level each other out through contacts which are never closed together say nothing.
    bool comes_from_braking(double amps_in) const { return amps_in > 1e-3 && amps_in <= total_A_ * 1.001; }

    void complain(double now, double limit, Severity severity, PartId part, std::string beside,
                  std::string working, double share, Dimension dimension = Dimension::current) {
        complaints_.push_back({now / limit,
                               severity,
                               part,
                               std::move(beside),
                               std::move(working),
                               std::max(0.0, total_A_ * share),
                               &point_,
                               {"now", now, dimension},
                               {"limit", limit, dimension}});
    }

    void look_at_bus(EdgeId id) {
        const Edge& back = input_.circuit.edge(id);
        const auto most = input_.facts.quantity(back.part, "input"_attr);
        const double now_V = point_.node_V[back.to.index()] - point_.node_V[back.from.index()];
        if (!most || !above(now_V, most->hi)) return;
        // Of what it lifts the bus by above full packs that much is left.
        const double full_V = Potentials(input_).node_V(back.to);
        const double share = full_V < now_V ? (most->hi - full_V) / (now_V - full_V) : 0;
        complain(now_V, most->hi, Severity::error, back.part,
                 "the bus rises to " + volts(now_V) + "; takes up to " + volts(most->hi),
                 volts(now_V) + " > " + volts(most->hi) + " with " + amps(point_.edge_A[id.index()]) +
                     " returned into full packs",
                 share, Dimension::voltage);
    }

    // What else hangs on the bus is lifted with it.
    void look_at_neighbours(EdgeId id) {
        const Potentials potentials(input_);
        const Edge& back = input_.circuit.edge(id);
        const Mode* mode = point_.mode ? &input_.harness.modes[point_.mode.index()] : nullptr;
        DisjointSets joined = pieces(input_.circuit, [&](EdgeId each) {
            const Edge& edge = input_.circuit.edge(each);
            return is_conductor(edge.role) && (!mode || is_closed(input_.circuit, *mode, edge));
        });
        for (const Edge& edge : input_.circuit.edges) {
            if (!uses_power(edge.role) || edge.part == back.part ||
                !joined.same(edge.from.index(), back.to.index()) ||
                !joined.same(edge.to.index(), back.from.index()))
                continue;
            const bool load = input_.harness.part(edge.part).kind == Kind::load;
            const auto most = input_.facts.quantity(edge.part, load ? "works"_attr : "input"_attr);
            const double now_V = point_.node_V[edge.from.index()] - point_.node_V[edge.to.index()];
            if (!most || !above(now_V, most->hi)) continue;
            const double full_V = potentials.node_V(edge.from);
            if (full_V <= 0 || above(full_V, most->hi) || now_V <= full_V) continue;
            const std::string who = named(input_.harness, edge.part);
            complain(now_V, most->hi, Severity::error, edge.part,
                     "lifted to " + volts(now_V) + "; takes up to " + volts(most->hi),
                     volts(now_V) + " > " + volts(most->hi) + " at " + who + " with " +
                         amps(point_.edge_A[id.index()]) + " returned into full packs",
                     (most->hi - full_V) / (now_V - full_V), Dimension::voltage);
        }
    }

    void look_at_pack(const Edge& edge, double amps_in) {
        const auto charge = input_.facts.quantity(edge.part, "charge"_attr);
        if (!charge || charge->lo <= 0 || !comes_from_braking(amps_in)) return;
        if (above(amps_in, charge->lo))
            return complain(amps_in, charge->lo, Severity::warning, edge.part,
                            amps(amps_in) + " into it; may be charged with " + amps(charge->lo),
                            amps(amps_in) + " > " + amps(charge->lo) + " (charge of " +
                                named(input_.harness, edge.part) + ")",
                            charge->lo / amps_in);
        look_in_the_cold(edge, amps_in, " into it; may be charged with ");
    }
    // What takes less in the cold, or in the heat; of modes that say how they brake it is told with their
    // weather.
    void look_in_the_cold(const Edge& edge, double amps_in, const std::string& what) {
        if (stated_) return;
        const bool gives_along = edge.role == EdgeRole::emf || discharge_sign(input_.facts, edge) > 0;
        const auto there = current_rating(input_.facts, edge, input_.facts.ambient(edge.part, point_.mode),
                                          gives_along ? Direction::against : Direction::along);
        if (!there || !above(amps_in, there->may_A)) return;
        complain(amps_in, std::max(there->may_A, 1e-3), Severity::warning, edge.part,
                 amps(amps_in) + what + amps(there->may_A) + " there",
                 amps(amps_in) + " > " + amps(there->may_A) + " (" + there->name + " of " +
                     named(input_.harness, edge.part) + ")",
                 there->may_A / amps_in);
    }

    // What the current passes on its way to the pack; what the same part carries when the drive draws is
    // told of that.
    void look_at_way(const Edge& edge, double now_A) {
        if (!comes_from_braking(now_A)) return;
        const auto may = current_rating(input_.facts, edge, input_.facts.ambient(edge.part, point_.mode),
                                        Direction::either);
        if (!may || may->may_A <= 0 || !above(now_A, may->may_A)) return;
        complain(now_A, may->may_A, Severity::warning, edge.part,
                 amps(now_A) + " through it; may carry " + amps(may->may_A),
                 amps(now_A) + " > " + amps(may->may_A) + " (" + may->name + " of " +
                     rated_thing(input_.harness, edge) + ")",
                 may->may_A / now_A);
    }

    void look_at_bms(const Edge& edge, double amps_in) {
        if (!comes_from_braking(amps_in)) return;
        const std::string who = named(input_.harness, edge.part);
        const auto charge = input_.facts.quantity(edge.part, "charge"_attr);
        if (charge && charge->lo > 0 && above(amps_in, charge->lo))
            complain(amps_in, charge->lo, Severity::warning, edge.part,
                     amps(amps_in) + " through it; passes " + amps(charge->lo) + " of charge",
                     amps(amps_in) + " > " + amps(charge->lo) + " (charge of " + who + ")",
                     charge->lo / amps_in);
        else
            look_in_the_cold(edge, amps_in, " through it; passes ");
        const Part& part = input_.harness.part(edge.part);
        for (const Attribute& attribute : input_.harness.attributes_of(part.attributes)) {
            if (attribute.name != "charge-trips"_attr) continue;
            const auto values = input_.harness.values_of(attribute);
            if (values[0].known == Knowledge::unknown || amps_in < values[0].lo) continue;
            complain(amps_in, values[0].lo, Severity::error, edge.part,
                     "it opens at " + amps(values[0].lo) + "; " + amps(amps_in) + " come back",
                     amps(amps_in) + " >= " + amps(values[0].lo) + " (charge-trips of " + who +
                         "): it opens, the bus rises and the brake is lost",
                     values[0].lo / amps_in * 0.999);
        }
    }

    const RuleInput& input_;
    const OperatingPoint& point_;
    double total_A_ = 0;
    bool stated_ = false;  // some mode has the controller give back
    std::vector<Complaint> complaints_;
};

// One figure that none of them complains of.
std::string passing_text(const std::vector<Complaint>& complaints) {
    double passes_A = complaints.front().passes_A;
    for (const Complaint& each : complaints) passes_A = std::min(passes_A, each.passes_A);
    const double rounded_A = std::floor(passes_A * (1 + 1e-9) * 10) / 10;
    return rounded_A > 0
               ? "a regeneration of " + amps(rounded_A) + " or less, all controllers together, would pass"
               : std::string("no regeneration would pass");
}

void report_setting(const RuleInput& input, EdgeId id, std::vector<Complaint> complaints, Report& report) {
    std::stable_sort(complaints.begin(), complaints.end(), [](const Complaint& a, const Complaint& b) {
        return a.severity != b.severity ? a.severity < b.severity : a.ratio > b.ratio;
    });
    const Edge& back = input.circuit.edge(id);
    const Complaint& worst = complaints.front();
    Finding finding = finding_about(input, "regeneration-too-high", worst.severity, back.part);
    finding.message = named(input.harness, back.part) + " is set to return more than can be taken";
    finding.beside = (worst.part != back.part ? named(input.harness, worst.part) + ": " : "") + worst.beside;
    const auto regen = input.facts.quantity(back.part, "regen"_attr);
    finding.working.push_back(amps(regen->hi) + " (regen of " + named(input.harness, back.part) + ")");
    std::set<std::string> lines;
    for (const Complaint& each : complaints) {
        if (!lines.insert(each.working).second || lines.size() > 6) continue;
        finding.working.push_back(each.working);
        if (each.part != back.part)
            finding.related.push_back(
                {input.harness.part(each.part).where, named(input.harness, each.part) + ": " + each.beside});
    }
    finding.figures = {{"regen", regen->hi, Dimension::current}, worst.now, worst.limit};
    finding.source = "rating of the part";
    witnessed(input, finding, *worst.point, id);
    finding.help = passing_text(complaints);
    if (worst.part == back.part) finding.help += "; or a controller that takes a higher voltage";
    report.add(std::move(finding));
}

}  // namespace

void judge_settings(const RuleInput& input, const std::vector<OperatingPoint>& braking, EdgeId id,
                    Report& report) {
    std::vector<Complaint> all;
    for (const OperatingPoint& point : braking) {
        if (!point.usable() || point.edge_A[id.index()] < 1e-3) continue;
        std::vector<Complaint> here = Settings(input, point).look(id);
        std::move(here.begin(), here.end(), std::back_inserter(all));
    }
    if (!all.empty()) report_setting(input, id, std::move(all), report);
}

}  // namespace loomward::rules
