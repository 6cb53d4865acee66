// Contactors, relays and converters that can never come on, because what feeds them waits for themselves.
//
// Of what cannot come on from rest (coming_on.hpp), the ones that would hold once they were on are told:
// those whose coil, supply or enable hangs behind their own contact or output, or behind others that wait for
// them. What nothing feeds at all, or only what waits for such a one, is another rule's. Once with every plug
// in and every charger on, and once without what is out of a mode, for what that mode says is in.
#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "checker/circuit/latching.hpp"
#include "checker/parts/elements.hpp"
#include "checker/rules/coming_on.hpp"
#include "checker/rules/rule_support.hpp"

namespace loomward::rules::pulling {
namespace {

using namespace literals;

constexpr RuleInfo infos[] = {
    {"never-pulls-in",
     "a contactor or relay whose coil, or the electronics that drive it, are fed only from behind its own "
     "contact, or over others that wait for it; a converter whose supply or enable hangs behind its own "
     "output, or behind contacts that it feeds: it can never come on",
     "from rest, some source reaches the coil, or the input and an enable, over switches that can close, "
     "contacts of what can come in, outputs and drivers of what can come on",
     "found on the graph",
     "every switch may close and every driver of what has a supply be on, alone or together: a start push "
     "around the contact is enough, be it closed in no mode; a way through a resistor or a load counts; "
     "plugs that a mode has out, and chargers that give nothing in it, are out for what that mode says is in",
     "contactor K2 { carries 20 A, makes 20 A, breaks 20 A at 60 V dc\n"
     "  coil 48 V 200 mA, coil-works 30..60 V, suppression varistor }\n"
     "route F1.out (W60 2.5 mm2, 0.3 m, red) K2 (W61 1 mm2, 0.3 m, red) K2.A1\n"
     "route K2.A2 (W62 1 mm2, 0.3 m, black) Q1.P-\n"
     "mode pulled { others at rest, K2 closed }\nsplice X1",
     "splice X1"},
};

using Parts = ComingOn::Parts;

bool is_converter(const Harness& harness, PartId part) {
    return harness.part(part).kind == Kind::converter;
}

std::string list_of(const Harness& harness, const Parts& parts) {
    std::vector<std::string> names;
    for (const PartId each : parts) names.emplace_back(harness.part(each).name);
    std::sort(names.begin(), names.end());
    std::string list;
    for (std::size_t i = 0; i < names.size(); ++i)
        list += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
    return list;
}

class Pulling {
  public:
    Pulling(const RuleInput& input, Report& report)
        : input_(input), harness_(input.harness), report_(report) {}

    void look() {
        const ComingOn plugged(input_.circuit, {});
        const Parts can = plugged.follow({});
        find(plugged, can);
        for (const auto& [id, parts] : waiting_) tell(id, parts);
        if (!harness_.modes.empty() && !harness_.modes.front().own) look_at_modes(can);
    }

  private:
    struct Waiting {
        Parts together;  // coils whose contacts feed each other's
        Parts needed;    // without any of these it would not hold
        Parts over;      // what it leads to and what leads to it
        ModeId mode;
    };

    // What a mode says is in, and what could come in but for what is out of that mode.
    void look_at_modes(const Parts& can) {
        std::map<Parts, Parts> can_by_out;
        const auto can_in = [&](ModeId mode) -> const Parts& {
            const Parts out = out_of(mode);
            const auto [found, fresh] = can_by_out.try_emplace(out, can);
            if (fresh && !out.empty()) found->second = ComingOn(input_.circuit, out).follow({});
            return found->second;
        };
        std::set<PartId> told;
        std::vector<ModeId> modes;
        for (std::size_t m = 0; m < harness_.modes.size(); ++m) modes.emplace_back(m);
        std::sort(modes.begin(), modes.end(), [&](ModeId a, ModeId b) {
            return harness_.modes[a.index()].name < harness_.modes[b.index()].name;
        });
        // Modes that say so themselves before those that are like them, each by name.
        for (std::size_t i = 0; i < 2 * modes.size(); ++i) {
            const ModeId mode = modes[i % modes.size()];
            const bool itself = i < modes.size();
            const Parts out = out_of(mode);
            if (out.empty()) continue;
            const std::vector<State>& states = harness_.modes[mode.index()].states;
            Parts said;
            for (const PartId part : can)
                if ((!itself || states[part.index()].stated_by == StatedBy::line) && says_in(mode, part) &&
                    !told.contains(part) && !can_in(mode).contains(part) &&
                    !came_in_before(mode, part, can_in))
                    said.insert(part);
            if (said.empty()) continue;
            waiting_.clear();
            const ComingOn without(input_.circuit, out);
            find(without, can_in(mode));
            for (auto& [part, waiting] : waiting_) {
                const auto about = [&](PartId other) { return said.contains(other); };
                if (!about(part) && std::none_of(waiting.over.begin(), waiting.over.end(), about)) continue;
                if (!told.insert(part).second) continue;
                waiting.mode = mode;
                tell(part, waiting);
            }
        }
    }
    // Plugs that are out in a mode, and chargers that give nothing there.
    Parts out_of(ModeId id) const {
        const Mode& mode = harness_.modes[id.index()];
        Parts parts;
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
            if (mode.states[i].posture == Posture::unmated ||
                (harness_.parts[i].kind == Kind::charger && !delivers(mode, PartId(i))))
                parts.insert(PartId(i));
        }
        return parts;
    }
    bool says_in(ModeId mode, PartId part) const {
        const Posture posture = harness_.modes[mode.index()].states[part.index()].posture;
        return (posture == Posture::closed || posture == Posture::energised) &&
               harness_.part(part).kind != Kind::switch_ && !is_latching(harness_, part);
    }
    // In one of the modes that it is entered from, from where it may have held.
    template <class CanIn>
    bool came_in_before(ModeId mode, PartId part, CanIn can_in) const {
        for (std::size_t step = 0; step < harness_.modes.size(); ++step) {
            mode = harness_.modes[mode.index()].after;
            if (!mode || !says_in(mode, part)) return false;
            if (can_in(mode).contains(part)) return true;
        }
        return false;
    }

    void find(const ComingOn& on, const Parts& can) {
        std::map<PartId, Parts> after;
        for (const PartId each : on.all()) {
            if (can.contains(each) || !(on.has_coil(each) || is_converter(harness_, each))) continue;
            Parts with = can;
            with.insert(each);
            with = on.follow(std::move(with));
            if (on.fed(with).contains(each)) after.emplace(each, std::move(with));
        }
        for (const auto& [each, with] : after) {
            Waiting waiting;
            for (const auto& [other, others] : after)
                if (with.contains(other) && others.contains(each)) waiting.over.insert(other);
            for (const PartId part : with)
                if (part != each && !can.contains(part) && !still_held(on, can, each, part))
                    waiting.needed.insert(part);
            Parts alone = can;
            alone.insert(each);
            waiting.together = on.fed(alone).contains(each) ? Parts{each} : waiting.over;
            waiting_.emplace(each, std::move(waiting));
        }
    }
    static bool still_held(const ComingOn& on, const Parts& can, PartId each, PartId without) {
        Parts with = can;
        with.insert(each);
        with = on.follow(std::move(with), without);
        return on.fed(with, without).contains(each);
    }

    void tell(PartId id, const Waiting& waiting) {
        const bool coil = !is_converter(harness_, id);
        PartId converter;  // the first by name
        for (const PartId part : waiting.over)
            if (is_converter(harness_, part) &&
                (!converter || harness_.part(part).name < harness_.part(converter).name))
                converter = part;
        // Contacts that wait for a converter: told of the converter.
        if (converter && converter != id) return;
        Finding finding = finding_about(input_, "never-pulls-in", Severity::error, id);
        if (coil)
            word_coil(finding, id, waiting);
        else
            word_converter(finding, id, waiting);
        finding.source = "found on the graph";
        if (waiting.mode) {
            finding.mode = waiting.mode;
            finding.working.push_back("so" + in_mode(waiting.mode) + ", without " +
                                      list_of(harness_, out_of(waiting.mode)) +
                                      "; with all of these it could");
        }
        if (const auto [point, edge] = pulled(id, waiting.mode); point)
            finding.witness = current_path(input_.circuit, *point, edge);
        report_.add(std::move(finding));
    }
    std::string in_mode(ModeId mode) const {
        return " in mode " + std::string(harness_.modes[mode.index()].name);
    }
    void word_coil(Finding& finding, PartId id, const Waiting& waiting) const {
        finding.message = named(harness_, id) +
                          (waiting.mode ? " cannot pull in" + in_mode(waiting.mode) : " never pulls in") +
                          ": only ";
        Parts driving;  // electronics
        for (const PartId part : waiting.needed)
            if (!waiting.over.contains(part)) driving.insert(part);
        const std::string others = list_of(harness_, driving);
        if (!driving.empty() && waiting.over.size() == 1) {
            finding.message += "its own contact feeds its coil and " + others;
            finding.beside = others + " has to be on before it, and is dead as long as it is open";
            finding.working = {"with its contact closed a source reaches " + others +
                               ", and its coil by way of that; with it open none does, whatever switch is "
                               "closed"};
            finding.help =
                "feed " + others + " and the coil from before the contact, or over a start push around it";
        } else if (waiting.together.size() == 1) {
            finding.message += "its own contact feeds its coil";
            finding.beside = "dead as long as it is open";
            finding.working = {
                "with its contact closed a source reaches its coil; with it open none does, "
                "whatever switch is closed"};
            finding.help = "feed the coil from before the contact, or a start push around the contact";
        } else {
            const std::string list = list_of(harness_, waiting.together);
            finding.message += "contacts of " + list + " feed its coil";
            finding.beside = "they wait for each other";
            finding.working = {"with " + list +
                               " in, a source reaches its coil; with all of them open none "
                               "reaches the coil of any of them, whatever switch is closed"};
            finding.help = "feed the coil of one of them from before the contacts";
        }
    }
    void word_converter(Finding& finding, PartId id, const Waiting& waiting) const {
        Parts others = waiting.over;
        others.insert(waiting.needed.begin(), waiting.needed.end());
        others.erase(id);
        finding.message = named(harness_, id) +
                          (waiting.mode ? " cannot start" + in_mode(waiting.mode) : " never starts") +
                          ": only ";
        if (others.empty() || waiting.together.size() == 1) {
            finding.message += "its own output feeds its " + fed_by_itself(id);
            finding.beside = "dead as long as it gives nothing";
            finding.working = {"with its output live a source reaches its " + fed_by_itself(id) +
                               "; from rest none does, whatever switch is closed"};
            finding.help = "feed the " + fed_by_itself(id) + " from what is live before it starts";
            return;
        }
        const std::string list = list_of(harness_, others);
        finding.message += list + " lead" + (others.size() == 1 ? "s" : "") + " to its supply";
        finding.beside = list + " wait" + (others.size() == 1 ? "s" : "") + " for its output";
        finding.working = {
            "from rest no source reaches its supply, whatever switch is closed, and what it "
            "would feed is open: " +
                list,
            "were it on, " + list + " would come in and hold it"};
        finding.help = "feed it from before " + list + ", or what closes them from elsewhere";
        for (const PartId other : others)
            finding.related.push_back({harness_.part(other).where, named(harness_, other) + " is here"});
    }
    // "input", or the pins by their names.
    std::string fed_by_itself(PartId id) const {
        std::string pins;
        for (const EdgeId each : input_.circuit.edges_of_part[id.index()])
            if (const Edge& edge = input_.circuit.edge(each);
                edge.role == EdgeRole::supply_pin && input_.circuit.at(edge.from).size() > 1)
                pins +=
                    (pins.empty() ? "pin " : ", ") + std::string(harness_.terminal(edge.from_terminal).path);
        return pins.empty() ? "input" : pins;
    }

    // Where a mode in which nothing gives back (that one, where there is one) has it on and it carries a
    // current: by the name of the mode.
    std::pair<const OperatingPoint*, EdgeId> pulled(PartId id, ModeId only) const {
        std::pair<const OperatingPoint*, EdgeId> first{nullptr, {}};
        const auto name = [&](const OperatingPoint* point) {
            return harness_.modes[point->mode.index()].name;
        };
        const auto gives_back = [&](ModeId mode) {
            const std::vector<Profile>& profiles = harness_.modes[mode.index()].profiles;
            return std::any_of(profiles.begin(), profiles.end(),
                               [](const Profile& each) { return each.flow == Flow::returns; });
        };
        for (const OperatingPoint& point : input_.points) {
            if (gives_back(point.mode)) continue;
            if (!point.usable() || point.corner != Corner::run_full || (only && point.mode != only)) continue;
            for (const EdgeId each : input_.circuit.edges_of_part[id.index()]) {
                const EdgeRole role = input_.circuit.edge(each).role;
                if ((role == EdgeRole::coil || role == EdgeRole::converter_input) &&
                    std::abs(point.edge_A[each.index()]) > 1e-4 &&
                    (!first.first || name(&point) < name(first.first)))
                    first = {&point, each};
            }
        }
        return first;
    }

    const RuleInput& input_;
    const Harness& harness_;
    Report& report_;
    std::map<PartId, Waiting> waiting_;
};

void run(const RuleInput& input, Report& report) {
    const auto& edges = input.circuit.edges;
    const auto waits = [](const Edge& each) {
        return each.role == EdgeRole::coil || each.role == EdgeRole::converter_output;
    };
    if (std::any_of(edges.begin(), edges.end(), waits)) Pulling(input, report).look();
}

}  // namespace

extern const RuleFamily family;
const RuleFamily family{infos, run};

}  // namespace loomward::rules::pulling
