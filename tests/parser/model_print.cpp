#include "tests/parser/model_print.hpp"

#include <array>

#include "parser/language/units.hpp"

namespace loomward {
namespace {

constexpr std::array<std::string_view, 10> postures{"-",  "open", "closed", "energised", "released",
                                                    "on", "off",  "mated",  "unmated",   "at"};
constexpr std::array<std::string_view, 4> said_by{"line", "like", "rest", "language"};
constexpr std::array<std::string_view, 4> flows{"draws", "returns", "delivers", "phases"};

class Printer {
  public:
    explicit Printer(const Harness& harness) : h_(harness) {}

    std::string print(std::string_view only) {
        const auto wants = [&](std::string_view what) { return only.empty() || only == what; };
        if (wants("part"))
            for (const Part& part : h_.parts) print_part(part);
        if (wants("wire"))
            for (const Wire& wire : h_.wires) print_wire(wire);
        if (wants("joint"))
            for (const Joint& joint : h_.joints) line("joint " + path(joint.a) + " " + path(joint.b));
        if (wants("tie"))
            for (const Tie& tie : h_.ties) line("tie " + path(tie.a) + " " + path(tie.b));
        if (wants("cable"))
            for (const Cable& cable : h_.cables) print_cable(cable);
        if (only == "location")
            for (const Location& location : h_.locations)
                line("location " + std::string(location.name) + " {" + attributes(location.attributes) + "}");
        if (only == "location")
            for (const Stretch& stretch : h_.stretches)
                line("stretch " + std::string(stretch.name) + " {" + attributes(stretch.attributes) + "}");
        if (only == "harness") line("harness {" + attributes(h_.attributes) + "}");
        if (wants("bundle"))
            for (const Bundle& bundle : h_.bundles) print_bundle(bundle);
        if (wants("mode"))
            for (const Mode& mode : h_.modes)
                if (!mode.own) print_mode(mode);
        if (only == "own mode")
            for (const Mode& mode : h_.modes)
                if (mode.own) print_mode(mode);
        if (wants("accept"))
            for (const Acceptance& acceptance : h_.acceptances) print_acceptance(acceptance);
        return text_;
    }

  private:
    void line(const std::string& text) { text_ += text + "\n"; }
    std::string path(TerminalId id) const { return id ? std::string(h_.terminal(id).path) : "nowhere"; }

    // As written, but what is unknown without regard to whether it was written.
    std::string value_text(const Value& value) const {
        if (value.known != Knowledge::unknown) return std::string(h_.sources->text(value.where));
        return value.type == ValueType::quantity ? "unknown " + std::string(info(value.dimension).unit)
                                                 : "unknown word";
    }

    std::string attributes(Slice slice) const {
        std::string text;
        for (const Attribute& attribute : h_.attributes_of(slice)) {
            text += (text.empty() ? "" : ", ") + std::string(info(attribute.name).name);
            for (const Value& value : h_.values_of(attribute))
                if (value.present()) text += " " + value_text(value);
        }
        return text;
    }

    void print_part(const Part& part) {
        std::string text = "part " + std::string(info(part.kind).word) + " " + std::string(part.name);
        if (!part.label.empty()) text += " \"" + std::string(part.label) + "\"";
        if (!part.type.empty()) text += " is " + std::string(part.type);
        if (part.location) text += " at " + std::string(h_.locations[part.location.index()].name);
        text += " {" + attributes(part.attributes) + "}";
        for (std::uint32_t i = 0; i < part.terminals.count; ++i) {
            const Terminal& terminal = h_.terminals[part.terminals.first + i];
            text += " " + std::string(terminal.path);
            if (terminal.table_name != terminal.name) text += "=" + std::string(terminal.table_name);
        }
        line(text);
    }

    void print_wire(const Wire& wire) {
        std::string text = "wire " + std::string(wire.name) + " " + path(wire.from) + " " + path(wire.to) +
                           " " + std::string(wire.size_text) + " " + to_text(wire.length);
        if (wire.colour != Colour::none) text += " " + std::string(colour_word(wire.colour));
        if (wire.second_colour != Colour::none) text += "-" + std::string(colour_word(wire.second_colour));
        if (wire.aluminium) text += " aluminium";
        if (wire.parallel != 1) text += " x" + std::to_string(wire.parallel);
        text += " " + std::string(wire.insulation) + " " +
                to_text(wire.insulation_limit_degC, Dimension::temperature);
        if (wire.insulation_known == Knowledge::assumed) text += " assumed";
        for (const BundleId bundle : wire.bundles)
            if (bundle) text += " in " + std::string(h_.bundles[bundle.index()].name);
        if (wire.attributes.count > 0) text += " {" + attributes(wire.attributes) + "}";
        line(text);
    }

    void print_cable(const Cable& cable) {
        std::string text = "cable " + std::string(cable.name);
        for (const WireId core : cable.cores) text += " " + std::string(h_.wire(core).name);
        for (const std::string_view core : cable.unrouted) text += " unrouted " + std::string(core);
        line(text);
    }

    void print_bundle(const Bundle& bundle) {
        std::string text = "bundle " + std::string(bundle.name);
        if (bundle.location) text += " at " + std::string(h_.locations[bundle.location.index()].name);
        text += " {" + attributes(bundle.attributes) + "}";
        for (const WireId wire : bundle.wires) text += " " + std::string(h_.wire(wire).name);
        line(text);
    }

    std::string profile(const Mode& mode, std::int32_t index) const {
        const Profile& profile = mode.profiles[static_cast<std::size_t>(index)];
        std::string text = " " + std::string(flows[static_cast<std::size_t>(profile.flow)]);
        for (const Level& level : profile.levels) {
            if (&level != &profile.levels.front()) text += " then";
            text += " " + (level.limit ? std::string("limit") : to_text(level.amount));
            if (level.duration_s) text += " for " + to_text(*level.duration_s, Dimension::time);
        }
        return text + (profile.repeating ? " repeating" : "");
    }

    std::string state(const Mode& mode, const State& state) const {
        std::string text(postures[static_cast<std::size_t>(state.posture)]);
        if (state.posture == Posture::at_position) text += " " + std::to_string(state.position);
        if (state.profile >= 0) text += profile(mode, state.profile);
        if (state.phase_profile >= 0) text += profile(mode, state.phase_profile);
        return text + " (" + std::string(said_by[static_cast<std::size_t>(state.stated_by)]) + ")";
    }

    void print_mode(const Mode& mode) {
        std::string text = "mode " + std::string(mode.name) + ":";
        for (std::size_t i = 0; i < h_.parts.size(); ++i)
            if (mode.states[i].posture != Posture::none)
                text += " " + std::string(h_.parts[i].name) + " " + state(mode, mode.states[i]) + ";";
        for (std::size_t i = 0; i < h_.driver_pins.size(); ++i)
            text += " " + path(h_.driver_pins[i]) + " " + state(mode, mode.pin_states[i]) + ";";
        for (std::size_t i = 0; i < h_.locations.size(); ++i)
            if (mode.location_states[i].posture != Posture::none)
                text += " " + std::string(h_.locations[i].name) + " " + state(mode, mode.location_states[i]) +
                        ";";
        if (mode.after)
            text += " after " + std::string(h_.modes[mode.after.index()].name) + " " +
                    to_text(mode.after_s, Dimension::time) + ";";
        if (mode.ambient) text += " ambient " + to_text(*mode.ambient) + ";";
        line(text);
    }

    void print_acceptance(const Acceptance& a) {
        std::string text = "accept " + std::string(a.rule) + " on " + std::string(a.on);
        if (a.part) text += " part " + std::string(h_.part(a.part).name);
        if (a.wire) text += " wire " + std::string(h_.wire(a.wire).name);
        if (a.terminal) text += " terminal " + path(*a.terminal);
        if (a.bundle) text += " bundle " + std::string(h_.bundles[a.bundle.index()].name);
        if (a.mode) text += " in " + std::string(h_.modes[a.mode.index()].name);
        line(text + " because " + std::string(a.reason));
    }

    const Harness& h_;
    std::string text_;
};

}  // namespace

std::string print_model(const Harness& harness, std::string_view only) {
    return Printer(harness).print(only);
}

}  // namespace loomward
