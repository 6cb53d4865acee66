// Packs that no charger reaches in any mode, because a diode on the way lies against its current.
#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "checker/circuit/pack_ways.hpp"
#include "checker/circuit/ways.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::uncharged_packs {
namespace {

constexpr RuleInfo infos[] = {
    {"uncharged-pack",
     "a pack that hangs on a charger, a diode between them lies against its current, and nothing charges the "
     "pack in any mode: it goes flat, or was meant to be charged and the diode is turned round",
     "a way along diodes, over what a mode has closed, from the plus of a charger or converter to the plus "
     "of "
     "the pack and from its minus home",
     "common practice, no source",
     "only packs that some way against a diode joins to a charger which a mode has deliver; where no charger "
     "finds any pack, no-pack-to-charge tells it",
     "pack B8 { voltage 39..54.6 V, resistance 40 mohm, capacity 20 Ah, discharge 20 A, charge 20 A }\n"
     "charger G9 { output 54 V 10 A, reverse blocked }\ndiode D9 { 20 A, 100 V, drop 0.7 V }\n"
     "fuse F8 { 20 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }\n"
     "fuse F9 { 20 A, 80 V dc, breaks 6 kA at 80 V dc, curve iso8820-3 }\nsplice X8 { carries 20 A }\n"
     "route G9.+ (W40 2.5 mm2, 0.2 m) X8 (W41 2.5 mm2, 0.2 m) F9.out\n"
     "route F9.in (W43 2.5 mm2, 0.1 m) B1.+\nroute X8 (W42 2.5 mm2, 0.2 m) D9.K>A (W44 2.5 mm2, 0.2 m) "
     "F8.out\n"
     "route F8.in (W45 2.5 mm2, 0.1 m) B8.+\nroute B8.- (W46 2.5 mm2, 0.2 m) Q1.P-\n"
     "route G9.- (W47 2.5 mm2, 0.2 m) Q1.P-\nmode shore { others at rest, G9 delivers 10 A }\nsplice X1",
     "splice X1"},
};

struct Barred {
    ModeId mode;
    EdgeId charger, diode;
};

class Uncharged {
  public:
    explicit Uncharged(const RuleInput& input)
        : input_(input), circuit_(input.circuit), charged_(input.circuit.edges.size(), false) {}

    void look_at(ModeId id) {
        const Mode& mode = input_.harness.modes[id.index()];
        const std::vector<bool> open = open_in(circuit_, mode);
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& source = circuit_.edges[i];
            const bool charger = source.role == EdgeRole::charger && delivers(mode, source.part);
            if (!charger && (source.role != EdgeRole::converter_output ||
                             mode.states[source.part.index()].posture == Posture::off))
                continue;
            const std::vector<bool> now = charged_from(circuit_, open, source);
            bool any = false;
            for (std::size_t k = 0; k < now.size(); ++k) {
                charged_[k] = charged_[k] || now[k];
                any = any || now[k];
            }
            if (charger && any) find_barred(open, id, EdgeId(i));
        }
    }

    void report(Report& report) const {
        std::set<PartId> told;
        for (const auto& [section, barred] : barred_) {
            const PartId pack = circuit_.edge(section).part;
            if (!charged_[section.index()] && told.insert(pack).second) tell(pack, barred, report);
        }
    }

  private:
    // Packs that hang on the charger once no diode counts its direction.
    void find_barred(const std::vector<bool>& open, ModeId mode, EdgeId charger) {
        const Edge& source = circuit_.edge(charger);
        const auto passes = [&](EdgeId id, NodeId) {
            const EdgeRole role = circuit_.edge(id).role;
            return !open[id.index()] && (is_conductor(role) || role == EdgeRole::diode);
        };
        const NodeId plus[] = {source.to}, minus[] = {source.from};
        const Reached out = reached(circuit_, plus, passes), home = reached(circuit_, minus, passes);
        for (std::size_t i = 0; i < circuit_.edges.size(); ++i) {
            const Edge& section = circuit_.edges[i];
            if (section.role != EdgeRole::emf || charged_[i] || !out[section.to] || !home[section.from])
                continue;
            const EdgeId diode = against(out, source.to, section.to, true),
                         other = against(home, source.from, section.from, false);
            if (diode || other) barred_.try_emplace(EdgeId(i), Barred{mode, charger, diode ? diode : other});
        }
    }
    // The first diode of a way that does not let the charger's current pass.
    EdgeId against(const Reached& way, NodeId from, NodeId to, bool along) const {
        NodeId here = from;
        for (const EdgeId id : way.way_to(circuit_, to)) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role == EdgeRole::diode && (along ? edge.from : edge.to) != here) return id;
            here = other_end(edge, here);
        }
        return {};
    }

    void tell(PartId pack, const Barred& barred, Report& report) const {
        const PartId charger = circuit_.edge(barred.charger).part, diode = circuit_.edge(barred.diode).part;
        Finding finding = finding_about(input_, "uncharged-pack", Severity::warning, pack);
        finding.message = named(input_.harness, pack) +
                          " is charged in no mode: " + named(input_.harness, diode) +
                          " lies against the current of " + named(input_.harness, charger);
        finding.beside =
            "turned round, " + std::string(input_.harness.part(diode).name) + " would let it pass";
        finding.working = {"in mode " + std::string(input_.harness.modes[barred.mode.index()].name) + " " +
                           named(input_.harness, charger) + " delivers and reaches other packs only"};
        finding.source = "common practice, no source";
        finding.mode = barred.mode;
        for (const PartId part : {diode, charger})
            finding.related.push_back(
                {input_.harness.part(part).where, named(input_.harness, part) + " is here"});
        finding.help =
            "turn the diode round, or land the lead of the charger on the pack's side of it; a "
            "mode in which the pack is charged, if it is done elsewhere";
        report.add(std::move(finding));
    }

    const RuleInput& input_;
    const Circuit& circuit_;
    std::vector<bool> charged_;  // by EdgeId: sections that something charges in some mode
    std::map<EdgeId, Barred> barred_;
};

void run(const RuleInput& input, Report& report) {
    Uncharged uncharged(input);
    for (std::size_t m = 0; m < input.harness.modes.size(); ++m)
        if (!input.harness.modes[m].own) uncharged.look_at(ModeId(m));
    uncharged.report(report);
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::uncharged_packs
