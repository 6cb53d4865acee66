// Contacts that do nothing: nothing hangs on the one side, both throws lead to one point, two halves of a
// connector of which each has a lead where the other has none.
#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <set>

#include "checker/circuit/ways.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::idle_contacts {
namespace {

constexpr RuleInfo infos[] = {
    {"idle-contact",
     "a switch, contactor or relay past which the leads go: they land together on one of its terminals, and "
     "nothing lands on the other; one whose coil is wired and of whose contact only one side is; a "
     "change-over "
     "contact whose two throws are joined",
     "something lands on both sides of a contact, and its throws lead to different points",
     "Kirchhoff's laws",
     "a hand switch only where one of its leads goes to a consumer without another contact in between: a row "
     "of "
     "switches may be fed from one to the next; what is said to be spare is left out, and selectors; throws "
     "that only fuses join are left out",
     "switch S9 { 80 V dc, carries 5 A, breaks 2 A at 60 V dc }\n"
     "route X1 (W30 1 mm2, 0.3 m, red) S9.in\n"
     "route S9.in (W13 1 mm2, 0.3 m, red) H2 (W14 1 mm2, 1 m, black) Q1.P-",
     "route X1 (W13 1 mm2, 0.3 m, red) H2 (W14 1 mm2, 1 m, black) Q1.P-"},
    {"unmet-contact",
     "two contacts of one connector of which the one has a lead in the one half alone and the other in the "
     "other half alone: the lead changed its place on the way",
     "a lead on one side of a contact, and one on the other", "common practice, no source",
     "contacts that are said to be spare are left out; where all that lack a lead lack it in the same half "
     "it "
     "is "
     "noted as open-ended only",
     "connector J9 { mate P9, half socket, contacts 3, carries 5 A, 90 V, takes 0.5..2 mm2, rated-at 30 "
     "degC, "
     "limit 105 degC }\n"
     "route X1 (W13 1 mm2, 0.3 m, red) J9.1 (W30 1 mm2, 0.3 m, red) H2.+\n"
     "route H2.- (W14 1 mm2, 1 m, black) P9.2\nroute J9.3 (W31 1 mm2, 1 m, black) Q1.P-",
     "route X1 (W13 1 mm2, 0.3 m, red) H2 (W14 1 mm2, 1 m, black) Q1.P-"},
};

class IdleContacts {
  public:
    IdleContacts(const RuleInput& input, Report& report)
        : input_(input),
          harness_(input.harness),
          circuit_(input.circuit),
          report_(report),
          leads_(harness_.terminals.size()),
          parts_(circuit_.node_count()) {
        const auto land = [&](TerminalId terminal) { ++leads_[terminal.index()]; };
        for (const Wire& wire : harness_.wires) land(wire.from), land(wire.to);
        for (const Joint& joint : harness_.joints) land(joint.a), land(joint.b);
        for (const Tie& tie : harness_.ties) land(tie.a), land(tie.b);
        for (std::size_t i = 0; i < harness_.terminals.size(); ++i)
            parts_[circuit_.node(TerminalId(i)).index()].push_back(harness_.terminals[i].part);
    }

    void look() {
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
            const PartId part(i);
            switch (harness_.part(part).kind) {
                case Kind::switch_:
                case Kind::contactor:
                case Kind::relay:
                    look_at_switch(part);
                    break;
                case Kind::connector:
                    look_at_connector(part);
                    break;
                default:
                    break;
            }
        }
    }

  private:
    std::string path(TerminalId terminal) const { return std::string(harness_.terminal(terminal).path); }
    std::size_t leads(TerminalId terminal) const { return leads_[terminal.index()]; }
    bool is_spare(TerminalId terminal) const {
        const auto spares = harness_.joined(harness_.part(harness_.terminal(terminal).part).spares);
        return std::find(spares.begin(), spares.end(), terminal) != spares.end();
    }

    // ---- switches, contactors, relays

    void look_at_switch(PartId part) {
        std::map<std::uint16_t, std::vector<EdgeId>> poles;
        bool driven = false;  // its coil is wired: somebody means it to switch
        for (const EdgeId id : circuit_.edges_of_part[part.index()]) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role == EdgeRole::switching) poles[edge.way].push_back(id);
            if (edge.role == EdgeRole::coil)
                driven = leads(edge.from_terminal) > 0 && leads(edge.to_terminal) > 0;
        }
        for (const auto& [number, contacts] : poles)
            if (!past_it(part, contacts, driven)) throws_joined(part, contacts);
    }

    // All of its leads on one terminal.
    bool past_it(PartId part, const std::vector<EdgeId>& contacts, bool driven) {
        std::set<TerminalId> ends;
        for (const EdgeId id : contacts)
            ends.insert({circuit_.edge(id).from_terminal, circuit_.edge(id).to_terminal});
        TerminalId landed;
        std::string empty;
        for (const TerminalId end : ends) {
            if (leads(end) > 0) {
                if (landed) return false;
                landed = end;
            } else {
                if (is_spare(end)) return false;
                empty += (empty.empty() ? "" : " and ") + path(end);
            }
        }
        if (!landed) return false;
        const bool past = leads(landed) > 1;
        const std::optional<PartId> user = past ? led_to(landed) : std::nullopt;
        if (!driven && !user) return false;
        Finding finding = finding_about(input_, "idle-contact", Severity::warning, part);
        finding.message = (past ? "the leads go past " : "nothing is wired through ") +
                          named(harness_, part) + ": it switches nothing";
        finding.beside = std::to_string(leads(landed)) + (past ? " leads on " : " lead on ") + path(landed) +
                         ", none on " + empty;
        finding.working = {past ? "what comes in on " + path(landed) +
                                      " goes on from there, whether the contact is open or closed"
                                : "its coil is wired, and of its contact one side"};
        if (user) {
            finding.working.push_back("one of these leads goes on to " + named(harness_, *user) +
                                      ", with no other contact on the way");
            finding.related.push_back({harness_.part(*user).where, named(harness_, *user) + " is here"});
        }
        finding.source = "Kirchhoff's laws";
        finding.help = "the lead that goes on from " + empty + ", or say 'spare' for what is left empty";
        report_.add(std::move(finding));
        return true;
    }

    static bool gives(Kind kind) {
        return kind == Kind::pack || kind == Kind::charger || kind == Kind::panel;
    }
    static bool takes(Kind kind) {
        return kind == Kind::load || kind == Kind::controller || kind == Kind::converter ||
               kind == Kind::inverter || kind == Kind::device || kind == Kind::motor;
    }
    // A consumer that one lead of several on this point goes to, past no contact and by no source.
    std::optional<PartId> led_to(TerminalId at) const {
        const NodeId here = circuit_.node(at);
        for (const Incidence& first : circuit_.at(here)) {
            if (circuit_.edge(first.edge).role != EdgeRole::wire &&
                circuit_.edge(first.edge).role != EdgeRole::joint)
                continue;
            const NodeId starts[] = {first.other};
            const Reached side = reached(circuit_, starts, [&](EdgeId id, NodeId from) {
                const Edge& edge = circuit_.edge(id);
                return is_conductor(edge.role) && edge.role != EdgeRole::switching &&
                       other_end(edge, from) != here;
            });
            const auto any = [&](bool (*is)(Kind)) -> std::optional<PartId> {
                for (const NodeId node : side.order)
                    for (const PartId part : parts_[node.index()])
                        if (is(harness_.part(part).kind)) return part;
                return std::nullopt;
            };
            if (any(gives)) continue;
            if (const std::optional<PartId> user = any(takes)) return user;
        }
        return std::nullopt;
    }

    // Leads on the common and on both throws, and nothing between the throws.
    void throws_joined(PartId part, const std::vector<EdgeId>& contacts) {
        if (contacts.size() != 2) return;
        const Edge &a = circuit_.edge(contacts[0]), &b = circuit_.edge(contacts[1]);
        if (a.from_terminal != b.from_terminal || a.throw_ == b.throw_) return;
        for (const TerminalId end : {a.from_terminal, a.to_terminal, b.to_terminal})
            if (leads(end) == 0) return;
        const std::vector<EdgeId> way = shortest_way(circuit_, a.to, b.to, [&](EdgeId id, NodeId) {
            const EdgeRole role = circuit_.edge(id).role;
            return role == EdgeRole::wire || role == EdgeRole::joint || role == EdgeRole::contact ||
                   role == EdgeRole::shunt;
        });
        if (a.to != b.to && way.empty()) return;
        Finding finding = finding_about(input_, "idle-contact", Severity::warning, part);
        const std::string one = path(a.to_terminal), other = path(b.to_terminal),
                          common = path(a.from_terminal);
        finding.message = named(harness_, part) + " changes over between two throws that are joined";
        finding.beside = one + " and " + other + " lead to one point";
        finding.working = {common +
                           " has the same on it whether the coil is fed or not: it switches nothing"};
        finding.witness = steps_along(circuit_, a.to, way);
        finding.source = "Kirchhoff's laws";
        finding.help = "the other side of what it switches on one of " + one + " and " + other +
                       ", or nothing: " + one + " alone makes it open";
        report_.add(std::move(finding));
    }

    // ---- connectors

    void look_at_connector(PartId part) {
        std::vector<TerminalId> first, mate;  // with a lead in that half alone
        for (const EdgeId id : circuit_.edges_of_part[part.index()]) {
            const Edge& edge = circuit_.edge(id);
            if (edge.role != EdgeRole::contact || is_spare(edge.from_terminal) || is_spare(edge.to_terminal))
                continue;
            const bool here = leads(edge.from_terminal) > 0, there = leads(edge.to_terminal) > 0;
            if (here && !there) first.push_back(edge.from_terminal);
            if (there && !here) mate.push_back(edge.to_terminal);
        }
        if (first.empty() || mate.empty()) return;
        Finding finding = finding_about(input_, "unmet-contact", Severity::warning, part);
        finding.message = "leads do not meet in " + named(harness_, part);
        finding.beside = list_of(first) + " and " + list_of(mate) + " have nothing opposite";
        for (const auto* half : {&first, &mate})
            for (const TerminalId terminal : *half)
                finding.working.push_back("nothing lands opposite " + path(terminal) + leads_on(terminal));
        finding.source = "common practice, no source";
        finding.help = first.size() == 1 && mate.size() == 1
                           ? "one of the two leads into the contact opposite the other"
                           : "each lead into the contact opposite the one that it belongs to";
        report_.add(std::move(finding));
    }
    std::string list_of(const std::vector<TerminalId>& terminals) const {
        std::string list;
        for (const TerminalId each : terminals) list += (list.empty() ? "" : ", ") + path(each);
        return list;
    }
    std::string leads_on(TerminalId terminal) const {
        std::string names;
        for (std::size_t i = 0; i < harness_.wires.size(); ++i) {
            const Wire& wire = harness_.wires[i];
            if (wire.from == terminal || wire.to == terminal)
                names += (names.empty() ? ", where " : " and ") + named(harness_, WireId(i));
        }
        return names.empty() ? names : names + " ends";
    }

    const RuleInput& input_;
    const Harness& harness_;
    const Circuit& circuit_;
    Report& report_;
    std::vector<std::uint32_t> leads_;        // by TerminalId: what lands on it
    std::vector<std::vector<PartId>> parts_;  // by NodeId
};

void run(const RuleInput& input, Report& report) {
    IdleContacts(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::idle_contacts
