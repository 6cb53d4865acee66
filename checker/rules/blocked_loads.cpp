// What a blocked motor draws, for as long as it takes until a device opens, against everything on its way.
//
// A motor held fast draws its stall current for as long as somebody leaves it on. A fuse that lets it flow
// for minutes, or for good, guards the wire that it was chosen for, and not the plug that was chosen for the
// running current.
#include <algorithm>
#include <cmath>
#include <limits>

#include "checker/currents/surges.hpp"
#include "checker/parts/ratings.hpp"
#include "checker/parts/time_current.hpp"
#include "checker/parts/unknown_curves.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::blocked_loads {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"blocked-load",
     "a wire or contact that does not stand what a blocked load draws until a device on its way opens",
     "contact: r2 + (u0 - r2) exp(-t/60 s) <= 2.5, r = I_stall/I_may, u0 the same of what it carried "
     "before; r <= 1 where nothing opens; "
     "or withstands a current as large for as long; wire: no damage before t, I_stall <= Iz where nothing "
     "opens; t by the slow edge",
     "IEC 60364-4-43 433, 434 for wires; contacts: common practice, no source",
     "only loads that state `stall`, where a mode runs them; the load itself is not judged; a fuse or "
     "breaker "
     "of which nobody knows the curve takes as long as the slowest family of its kind and rating, and where "
     "the quickest would do it hangs on that",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V, stall 5.9 A }",
     "load H2 { 48 V, 10 W, acts-as power, works 30..60 V }"},
};

// How a contact takes heat: some minute; common practice, no source.
constexpr double contact_tau_s = 60;
// What it stands once, for the minutes until a device opens, over its rated heat (some 1.6 times the
// current); common practice, no source.
constexpr double short_overload_heat = 2.5;

// Something on the way that gets too hot.
struct Victim {
    EdgeId edge;
    double current_A = 0, may_A = 0;
    double excess = 0;  // heat over what it stands
};

// One way of being blocked: in a mode, at one end of the stated current.
struct Blocked {
    OperatingPoint point;
    double stall_A = 0;
    EdgeId opens;  // invalid: nothing does
    double open_s = never_s;
    // The device of which nobody knows the curve that would be the first by the quickest family; above,
    // such a device counts with the slowest.
    EdgeId untold;
    AnyCurve curve;               // of it
    bool hangs_on_curve = false;  // by the quickest family nothing would get too hot
    std::vector<Victim> victims;
    double worst() const {
        double most = 0;
        for (const Victim& victim : victims) most = std::max(most, victim.excess);
        return most;
    }
};

class Judge {
  public:
    explicit Judge(const RuleInput& input)
        : input_(input), courses_(usable_courses(input.points)), solver_(input.circuit, input.facts) {}

    void look_at(EdgeId load, Report& report) {
        const auto stall = input_.facts.quantity(input_.circuit.edge(load).part, "stall"_attr);
        if (!stall) return;
        std::optional<Blocked> worst;
        for (const Course& course : courses_)
            for (const double stall_A : {stall->lo, stall->hi}) {
                std::optional<Blocked> now = block(course, load, stall_A);
                if (!now || now->victims.empty()) continue;
                const bool surer = worst && worst->hangs_on_curve && !now->hangs_on_curve;
                const bool hotter = !worst || (now->worst() > worst->worst() * 1.0001 &&
                                               now->hangs_on_curve == worst->hangs_on_curve);
                if (surer || hotter) worst = std::move(now);
            }
        if (worst) tell(load, *worst, report);
    }

  private:
    std::optional<Blocked> block(const Course& course, EdgeId load, double stall_A) const {
        const OperatingPoint* busiest = nullptr;
        for (const OperatingPoint& point : course.points) {
            const double now_A = point.edge_A[load.index()];
            if (now_A < 1e-3 || now_A >= stall_A) continue;
            if (!busiest || now_A > busiest->edge_A[load.index()]) busiest = &point;
        }
        if (!busiest) return std::nullopt;
        Blocked blocked;
        blocked.point = solver_.with(*busiest, {{load, stall_A}});
        if (blocked.point.edge_A.empty()) return std::nullopt;
        blocked.stall_A = stall_A;
        find_first_to_open(blocked);
        blocked.victims = victims_of(*busiest, blocked, blocked.open_s);
        blocked.hangs_on_curve = blocked.untold && blocked.curve.quickest_s < blocked.open_s &&
                                 victims_of(*busiest, blocked, blocked.curve.quickest_s).empty();
        return blocked;
    }

    void find_first_to_open(Blocked& blocked) const {
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            const PartId device = input_.circuit.edges[i].part;
            const double now_A = std::abs(blocked.point.edge_A[i]);
            if (!opens_on_current(input_.circuit.edges[i].role) || now_A < 1e-3) continue;
            const auto curve = by_any_curve(input_.facts, device, now_A);
            const double open_s =
                curve ? curve->slowest_s : input_.faults.setting().bands[device.index()].slow_s(now_A);
            if (curve && curve->opens() &&
                (!blocked.untold || curve->quickest_s < blocked.curve.quickest_s)) {
                blocked.untold = EdgeId(i);
                blocked.curve = *curve;
            }
            if (open_s >= blocked.open_s) continue;
            blocked.open_s = open_s;
            blocked.opens = EdgeId(i);
        }
    }

    std::vector<Victim> victims_of(const OperatingPoint& busiest, const Blocked& blocked,
                                   double open_s) const {
        std::vector<Victim> victims;
        for (std::size_t i = 0; i < input_.circuit.edges.size(); ++i) {
            const double before_A = std::abs(busiest.edge_A[i]);
            const double now_A = std::abs(blocked.point.edge_A[i]);
            if (now_A - before_A < 0.01 * blocked.stall_A) continue;
            if (auto victim = judge(EdgeId(i), before_A, now_A, open_s, blocked.point.mode))
                victims.push_back(*victim);
        }
        return victims;
    }

    std::optional<Victim> judge(EdgeId id, double before_A, double now_A, double open_s, ModeId mode) const {
        const Edge& edge = input_.circuit.edge(id);
        if (edge.wire) return judge_wire(id, edge.wire, now_A, open_s);
        const double may_A = contact_may_A(edge, mode);
        if (may_A <= 0 || !above(now_A, may_A) || withstands(edge, now_A, open_s)) return std::nullopt;
        const double settled = (now_A / may_A) * (now_A / may_A);
        const double start = std::min(1.0, (before_A / may_A) * (before_A / may_A));
        const double heat =
            std::isfinite(open_s) ? settled + (start - settled) * std::exp(-open_s / contact_tau_s) : settled;
        const double stands = std::isfinite(open_s) ? short_overload_heat : 1;
        if (heat <= stands * 1.0001) return std::nullopt;
        return Victim{id, now_A, may_A, heat};
    }

    // As much for as long is stated of it.
    bool withstands(const Edge& edge, double now_A, double open_s) const {
        const auto current = input_.facts.quantity(edge.part, "withstands"_attr, 0);
        const auto time = input_.facts.quantity(edge.part, "withstands"_attr, 1);
        return current && time && now_A <= current->lo && open_s <= time->lo;
    }

    std::optional<Victim> judge_wire(EdgeId id, WireId wire, double now_A, double open_s) const {
        const WireHeat& heat = input_.faults.setting().wires[wire.index()];
        if (heat.ampacity_A <= 0 || !above(now_A, heat.ampacity_A)) return std::nullopt;
        if (std::isinf(open_s))
            return Victim{id, now_A, heat.ampacity_A, (now_A / heat.ampacity_A) * (now_A / heat.ampacity_A)};
        if (heat.damage_s(now_A) > open_s) return std::nullopt;
        return Victim{id, now_A, heat.ampacity_A, heat.after(now_A, 1, open_s)};
    }

    // What a contact, diode, shunt or protector carries for long; 0 where nobody says.
    double contact_may_A(const Edge& edge, ModeId mode) const {
        if (!passes_on(edge.role) && edge.role != EdgeRole::protector) return 0;
        const auto rating =
            current_rating(input_.facts, edge, input_.facts.ambient(edge.part, mode), Direction::either);
        return rating ? rating->may_A : 0;
    }

    std::string name(EdgeId id) const {
        const Edge& edge = input_.circuit.edge(id);
        if (edge.wire) return named(input_.harness, edge.wire);
        if (edge.role == EdgeRole::contact)
            return "contact " + std::string(input_.harness.terminal(edge.from_terminal).path);
        return named(input_.harness, edge.part);
    }
    Span where(EdgeId id) const {
        const Edge& edge = input_.circuit.edge(id);
        return edge.wire ? input_.harness.wire(edge.wire).where : input_.harness.part(edge.part).where;
    }

    // The device that ends it, by all that is known of it; invalid: none does.
    PartId ending(const Blocked& blocked) const {
        const EdgeId ends = blocked.opens ? blocked.opens : blocked.untold;
        return ends ? input_.circuit.edge(ends).part : PartId();
    }

    static std::string how_long(const Blocked& blocked) {
        if (!blocked.opens) return blocked.untold ? ", and nobody knows for how long" : " without end";
        return " for " + std::string(blocked.opens == blocked.untold ? "up to " : "") +
               to_text(blocked.open_s, Dimension::time);
    }

    // "fuse F1 takes up to 11 s at 353 A (ISO 8820-5 (memory))"
    std::string opening(const Blocked& blocked, EdgeId id) const {
        const auto time = [](double s) { return to_text(s, Dimension::time); };
        const PartId device = input_.circuit.edge(id).part;
        const std::string at = " at " + amps(std::abs(blocked.point.edge_A[id.index()]));
        if (id != blocked.untold)
            return named(input_.harness, device) + " takes up to " + time(blocked.open_s) + at + " (" +
                   input_.faults.setting().bands[device.index()].source + ")";
        const AnyCurve& curve = blocked.curve;
        return "nobody knows the curve of " + named(input_.harness, device) +
               ": by the quickest family it takes "
               "up to " +
               time(curve.quickest_s) + at + ", by the slowest " +
               (std::isfinite(curve.slowest_s) ? "up to " + time(curve.slowest_s)
                                               : std::string("it may not open")) +
               " (" + curve.slowest_source + ")";
    }

    void tell(EdgeId load, const Blocked& blocked, Report& report) const {
        const PartId part = input_.circuit.edge(load).part;
        const Victim& worst =
            *std::max_element(blocked.victims.begin(), blocked.victims.end(),
                              [](const Victim& a, const Victim& b) { return a.excess < b.excess; });
        Finding finding = finding_about(input_, "blocked-load", Severity::warning, part);
        const PartId ends = ending(blocked);
        const std::string device = ends ? named(input_.harness, ends) : std::string();
        finding.message = named(input_.harness, part) + " blocked draws more than " + name(worst.edge) +
                          (ends ? " stands until " + device + " opens" : " may carry, and no device opens");
        finding.beside = amps(blocked.stall_A) + how_long(blocked);
        finding.working = {amps(worst.current_A) + " > " + amps(worst.may_A) + " through " +
                           name(worst.edge)};
        if (blocked.opens) finding.working.push_back(opening(blocked, blocked.opens));
        if (blocked.untold && blocked.untold != blocked.opens)
            finding.working.push_back(opening(blocked, blocked.untold));
        if (blocked.hangs_on_curve) {
            const PartId untold = input_.circuit.edge(blocked.untold).part;
            finding.possible = true;
            finding.hangs_on.push_back({std::string(input_.harness.part(untold).name), "curve", {}});
        }
        finding.figures = {{"current", worst.current_A, Dimension::current},
                           {"limit", worst.may_A, Dimension::current}};
        finding.source =
            input_.circuit.edge(worst.edge).wire ? "IEC 60364-4-43 433, 434" : "common practice, no source";
        witnessed(input_, finding, blocked.point, load);
        for (const Victim& victim : blocked.victims)
            if (finding.related.size() < 8)
                finding.related.push_back({where(victim.edge), name(victim.edge) + " may carry " +
                                                                   amps(victim.may_A) + "; " +
                                                                   amps(victim.current_A) + " flow"});
        finding.help = "parts that carry " + amps(worst.current_A) +
                       " for good, or a device that opens sooner at " + amps(blocked.stall_A);
        report.add(std::move(finding));
    }

    const RuleInput& input_;
    std::vector<Course> courses_;
    SurgeSolver solver_;
};

void run(const RuleInput& input, Report& report) {
    Judge judge(input);
    for (std::size_t i = 0; i < input.circuit.edges.size(); ++i)
        if (input.circuit.edges[i].role == EdgeRole::load) judge.look_at(EdgeId(i), report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::blocked_loads
