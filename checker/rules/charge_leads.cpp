// Machines that drive with the charge lead in.
#include <algorithm>
#include <optional>
#include <string>

#include "checker/circuit/ways.hpp"
#include "checker/follow/follow.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::charge_leads {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"driven-while-charging",
     "a mode in which something drives while a charger gives current through a plug that other modes have "
     "parted: it drives off with the lead, and what it gives back meets the charger",
     "with a charge lead in, no drive runs", "common practice, no source",
     "controllers, and loads whose task is to drive; chargers that only this plug joins to a pack, in a mode "
     "of the file; what an interlock contact should do is told by `failures`",
     "connector J9 { mate P9, contacts + -, carries 20 A, 80 V, takes 1..6 mm2, rated-at 30 degC, limit 105 "
     "degC }\n"
     "charger G9 { output 54.6 V 5 A, reverse blocked }\n"
     "route F1.out (W30 2.5 mm2, 0.2 m, red) J9.+ (W31 2.5 mm2, 1 m, red) G9.+\n"
     "route Q1.P- (W32 2.5 mm2, 0.2 m, black) J9.- (W33 2.5 mm2, 1 m, black) G9.-\n"
     "mode apart { J9 unmated, others at rest }\n"
     "mode run { others at rest, after ready 3 s, J9 mated, K1 S1 closed, U1 draws 5 A, U1 phases 10 A, G9 "
     "delivers 5 A }\nsplice X1",
     "splice X1"},
};

class ChargeLeads {
  public:
    ChargeLeads(const RuleInput& input, Report& report)
        : input_(input), report_(report), follower_(input.circuit, input.facts) {}

    // The first mode of each plug.
    void look() {
        for (std::size_t p = 0; p < input_.harness.parts.size(); ++p) {
            const PartId plug(p);
            if (input_.harness.part(plug).kind != Kind::connector || !parted_somewhere(plug)) continue;
            for (std::size_t m = 0; m < input_.harness.modes.size(); ++m) {
                const PartId drive = mode(ModeId(m)).own ? PartId() : driving(ModeId(m));
                const PartId charger = drive ? charged_through(plug, mode(ModeId(m))) : PartId();
                if (!charger) continue;
                tell(plug, ModeId(m), drive, charger);
                break;
            }
        }
    }

  private:
    const Mode& mode(ModeId id) const { return input_.harness.modes[id.index()]; }
    bool parted_somewhere(PartId plug) const {
        return std::any_of(input_.harness.modes.begin(), input_.harness.modes.end(), [&](const Mode& each) {
            return !each.own && each.states[plug.index()].posture == Posture::unmated;
        });
    }
    PartId driving(ModeId id) const {
        const FollowedState& state = follower_.as_drawn(id);
        for (std::size_t i = 0; i < follower_.drives().size(); ++i) {
            const Follower::DriveEntry& drive = follower_.drives()[i];
            const bool drives = drive.controller || input_.facts.word(drive.part, "task"_attr) == "drives";
            if (drives && state.drives[i] == DriveState::runs) return drive.part;
        }
        return {};
    }
    // A charger that gives in the mode and finds the plus of a pack through that plug alone.
    PartId charged_through(PartId plug, const Mode& now) const {
        const auto closed = [&](bool with_plug) {
            return pieces(input_.circuit, [&](EdgeId each) {
                const Edge& edge = input_.circuit.edge(each);
                return is_conductor(edge.role) && (with_plug || edge.part != plug) &&
                       is_closed(input_.circuit, now, edge);
            });
        };
        DisjointSets all = closed(true), without = closed(false);
        for (const Edge& charger : input_.circuit.edges) {
            if (charger.role != EdgeRole::charger || !delivers(now, charger.part)) continue;
            bool reaches = false, otherwise = false;
            for (const Edge& pack : input_.circuit.edges) {
                if (pack.role != EdgeRole::emf) continue;
                reaches = reaches || all.same(charger.to.index(), pack.to.index());
                otherwise = otherwise || without.same(charger.to.index(), pack.to.index());
            }
            if (reaches && !otherwise) return charger.part;
        }
        return {};
    }
    void tell(PartId plug, ModeId id, PartId drive, PartId charger) {
        const std::string name = named(input_.harness, plug), driven = named(input_.harness, drive);
        Finding finding = finding_about(input_, "driven-while-charging", Severity::warning, plug);
        finding.message =
            driven + " drives in mode " + std::string(mode(id).name) + " with the charge lead in";
        finding.beside = named(input_.harness, charger) + " gives current through it there";
        finding.working = {"mated in mode " + std::string(mode(id).name) + ", in which " + driven +
                           " runs; other modes have it parted"};
        finding.source = "common practice, no source";
        finding.mode = id;
        for (const PartId part : {drive, charger})
            finding.related.push_back(
                {input_.harness.part(part).where, named(input_.harness, part) + " is here"});
        finding.help =
            "a contact in the plug, or a relay that the charger pulls in, that takes the key or the "
            "contactor from the drive while " +
            name + " is in";
        report_.add(std::move(finding));
    }

    const RuleInput& input_;
    Report& report_;
    Follower follower_;
};

void run(const RuleInput& input, Report& report) {
    const auto& parts = input.harness.parts;
    const auto any = [&](Kind kind) {
        return std::any_of(parts.begin(), parts.end(), [&](const Part& part) { return part.kind == kind; });
    };
    if (any(Kind::charger) && any(Kind::connector)) ChargeLeads(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::charge_leads
