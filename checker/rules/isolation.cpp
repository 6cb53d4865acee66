// What has to stay apart from a pack whose voltage can kill: frames that bond, and the other side of an
// isolated converter.
#include <algorithm>
#include <optional>

#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/parts/string_points.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::isolation {
namespace {

using namespace literals;

constexpr std::string_view source =
    "ISO 6469-3, voltage class B (memory): isolation from the chassis and from class A circuits";

constexpr RuleInfo infos[] = {
    {"bonded-pack",
     "a frame that serves as bond and that a conductor joins to a pack above the voltage of bare live parts: "
     "one lead chafed through is a short, and whoever touches the other pole and the frame closes the "
     "circuit",
     "U between the poles that hang together with the frame <= live-when-unmated-above (60 V dc)", source,
     "a note: earthed on purpose, with devices that clear every fault to the frame, it is a way to build; "
     "any "
     "mode, what is closed in it; a frame that serves as return is meant to be joined; resistors, loads "
     "and capacitors to the frame are not looked at",
     "policy { live-when-unmated-above 30 V }\nsplice X1\nframe X9 { serves bond }\n"
     "route Q1.P- (W30 2.5 mm2, 0.3 m, green-yellow) X9",
     "splice X1"},
    {"joined-sides",
     "the two sides of an isolated converter that a conductor joins, where one of them is above the voltage "
     "of bare live parts: what hangs on the other is no longer apart from it",
     "U between the poles that hang together <= live-when-unmated-above (60 V dc)", source,
     "a note: one minus for both sides is a way to build, and then all of it is of that voltage; any mode, "
     "what "
     "is closed in it; resistors, loads and capacitors between the sides are not looked at, "
     "nor "
     "a converter that levels the packs of a string",
     "policy { live-when-unmated-above 30 V }\nsplice X1\n"
     "converter D9 { input 30..60 V, output 12 V 5 A, efficiency 90 %, negative isolated, reverse blocked }\n"
     "load H9 { 12 V, 5 W }\n"
     "fuse F9 { 3 A, 80 V dc, breaks 2.5 kA at 80 V dc, curve iso8820-3 }\n"
     "route F1.out (direct) F9 (W31 1 mm2, 0.3 m, red) D9.in+\nroute D9.in- (W32 1 mm2, 0.3 m, black) Q1.P-\n"
     "route D9.out+ (W33 1 mm2, 0.3 m, red) H9 (W34 1 mm2, 0.3 m, black) D9.out-\n"
     "route D9.out- (W35 1 mm2, 0.3 m, black) Q1.P-",
     "splice X1"},
};

// What hangs together in a mode over conductors, diodes and packs, and how far its voltages lie apart.
class Pieces {
  public:
    Pieces(const RuleInput& input, const OperatingPoint& point)
        : point_(point),
          sets_(pieces(input.circuit,
                       [&](EdgeId id) {
                           const Edge& edge = input.circuit.edge(id);
                           return (is_conductor(edge.role) || edge.role == EdgeRole::diode ||
                                   edge.role == EdgeRole::emf) &&
                                  is_closed(input.circuit, input.harness.modes[point.mode.index()], edge);
                       })),
          low_V_(input.circuit.node_count(), 0),
          high_V_(input.circuit.node_count(), 0) {
        std::vector<bool> seen(input.circuit.node_count(), false);
        for (std::size_t i = 0; i < input.circuit.node_count(); ++i) {
            const std::size_t piece = sets_.find(i);
            low_V_[piece] = seen[piece] ? std::min(low_V_[piece], point.node_V[i]) : point.node_V[i];
            high_V_[piece] = seen[piece] ? std::max(high_V_[piece], point.node_V[i]) : point.node_V[i];
            seen[piece] = true;
        }
    }
    bool same(NodeId a, NodeId b) { return sets_.same(a.index(), b.index()); }
    double volts_V(NodeId node) {
        const std::size_t piece = sets_.find(node.index());
        return high_V_[piece] - low_V_[piece];
    }
    const OperatingPoint& point() const { return point_; }

  private:
    const OperatingPoint& point_;
    DisjointSets sets_;
    std::vector<double> low_V_, high_V_;  // by piece
};

// The worst that was seen of a frame or a converter.
struct Joined {
    double voltage_V = 0;
    ModeId mode;
    NodeId from, to;
};

class Isolation {
  public:
    Isolation(const RuleInput& input, Report& report)
        : input_(input),
          report_(report),
          limit_V_(input.facts.policy("live-when-unmated-above"_attr).lo),
          worst_(input.harness.parts.size()) {}

    void run() {
        std::vector<PartId> frames, converters;
        for (std::size_t i = 0; i < input_.harness.parts.size(); ++i) {
            const PartId id(i);
            if (input_.facts.word(id, "serves"_attr) == "bond") frames.push_back(id);
            if (input_.facts.word(id, "negative"_attr) == "isolated") converters.push_back(id);
        }
        drop_levelling(converters);
        if (frames.empty() && converters.empty()) return;
        for (const OperatingPoint& point : input_.points) {
            if (!point.usable() || highest_V(point) <= limit_V_) continue;
            Pieces pieces(input_, point);
            for (const PartId frame : frames) look_at_frame(pieces, frame);
            for (const PartId converter : converters) look_at_converter(pieces, converter);
        }
        for (const PartId frame : frames) tell_frame(frame);
        for (const PartId converter : converters) tell_converter(converter);
    }

  private:
    // What moves charge from one pack of a string to another stands between them on purpose.
    void drop_levelling(std::vector<PartId>& converters) const {
        if (converters.empty()) return;
        for (const auto& [piece, point] : string_points(input_.circuit).among)
            for (const auto& [edge, sign] : point.levelling)
                std::erase(converters, input_.circuit.edge(edge).part);
    }
    static double highest_V(const OperatingPoint& point) {
        const auto [low, high] = std::minmax_element(point.node_V.begin(), point.node_V.end());
        return low == point.node_V.end() ? 0 : *high - *low;
    }
    void keep(PartId part, double voltage_V, ModeId mode, NodeId from, NodeId to) {
        if (!above(voltage_V, limit_V_)) return;
        std::optional<Joined>& worst = worst_[part.index()];
        if (!worst || voltage_V > worst->voltage_V * (1 + 1e-6)) worst = Joined{voltage_V, mode, from, to};
    }
    void look_at_frame(Pieces& pieces, PartId frame) {
        const Slice terminals = input_.harness.part(frame).terminals;
        if (terminals.count == 0) return;
        const NodeId node = input_.circuit.node(TerminalId(terminals.first));
        NodeId pole;
        for (const Edge& edge : input_.circuit.edges)
            if (!pole && edge.role == EdgeRole::emf && pieces.same(edge.from, node)) pole = edge.from;
        if (pole) keep(frame, pieces.volts_V(node), pieces.point().mode, pole, node);
    }
    void look_at_converter(Pieces& pieces, PartId converter) {
        const Edge *input_side = nullptr, *output_side = nullptr;
        for (const EdgeId id : input_.circuit.edges_of_part[converter.index()]) {
            const Edge& edge = input_.circuit.edge(id);
            if (edge.role == EdgeRole::converter_input) input_side = &edge;
            if (edge.role == EdgeRole::converter_output) output_side = &edge;
        }
        if (input_side == nullptr || output_side == nullptr) return;
        for (const NodeId in : {input_side->to, input_side->from})
            for (const NodeId out : {output_side->from, output_side->to})
                if (pieces.same(in, out))
                    return keep(converter, pieces.volts_V(in), pieces.point().mode, in, out);
    }
    // The way over what conducts in the mode, to follow with a finger.
    std::vector<EdgeId> way(const Joined& joined) const {
        return shortest_way(input_.circuit, joined.from, joined.to, [&](EdgeId id, NodeId) {
            const Edge& edge = input_.circuit.edge(id);
            return (is_conductor(edge.role) || edge.role == EdgeRole::diode || edge.role == EdgeRole::emf) &&
                   is_closed(input_.circuit, input_.harness.modes[joined.mode.index()], edge);
        });
    }
    void finish(Finding finding, const Joined& joined) {
        finding.beside =
            volts(joined.voltage_V) + " between its poles; " + volts(limit_V_) + " and less may be joined";
        finding.working = {volts(joined.voltage_V) + " > " + volts(limit_V_) +
                           " (policy live-when-unmated-above)"};
        finding.figures = {{"voltage", joined.voltage_V, Dimension::voltage},
                           {"limit", limit_V_, Dimension::voltage}};
        finding.source = source;
        finding.mode = joined.mode;
        finding.witness = steps_along(input_.circuit, joined.from, way(joined));
        report_.add(std::move(finding));
    }
    void tell_frame(PartId frame) {
        const std::optional<Joined>& joined = worst_[frame.index()];
        if (!joined) return;
        Finding finding = finding_about(input_, "bonded-pack", Severity::note, frame);
        finding.message = named(input_.harness, frame) + " serves as bond and is joined to a pack";
        finding.help =
            "no conductor from the pack to the frame: the bond joins bare metal, no pole; an "
            "insulation watch tells of the first fault";
        finish(std::move(finding), *joined);
    }
    void tell_converter(PartId converter) {
        const std::optional<Joined>& joined = worst_[converter.index()];
        if (!joined) return;
        Finding finding = finding_about(input_, "joined-sides", Severity::note, converter);
        finding.message =
            named(input_.harness, converter) + " is isolated and a conductor joins its two sides";
        finding.help = "a minus of its own for each side, without a conductor between them";
        finish(std::move(finding), *joined);
    }

    const RuleInput& input_;
    Report& report_;
    double limit_V_;
    std::vector<std::optional<Joined>> worst_;  // by PartId
};

void run(const RuleInput& input, Report& report) {
    Isolation(input, report).run();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::isolation
