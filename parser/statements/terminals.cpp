// The terminals of every kind of part, in the order of docs/language.md "Kinds".
#include <algorithm>
#include <array>
#include <charconv>
#include <vector>

#include "parser/statements/terminals.hpp"

namespace loomward {
namespace {

// More ways or contacts than any block has; keeps a slipped number from filling the memory.
constexpr unsigned most_terminals = 1000;
constexpr unsigned most_poles = 12;

using Role = TerminalRole;

class TerminalMaker {
  public:
    TerminalMaker(Reading& reading, Scope& scope, PartId id, const AttributeList& attributes)
        : reading_(reading),
          scope_(scope),
          id_(id),
          part_(scope.parts[id.index()]),
          traits_(scope.traits[id.index()]),
          attributes_(attributes) {
        part_.terminals.first = static_cast<std::uint32_t>(scope.terminals.size());
        marked_ = attributes.find("marks"_attr) != nullptr;
        base_ = part_.name;
    }

    void make() {
        make_by_kind();
        part_.terminals.count = static_cast<std::uint32_t>(scope_.terminals.size()) - part_.terminals.first;
        if (traits_.bad) return;
        check_terminal_names(reading_, scope_, id_, attributes_, named_by_user_ || marked_, wheres_);
    }

  private:
    // ---- adding
    void add(std::string_view name, Span where = {}) { put(name, TerminalRole::own, 0, where); }
    void add(TerminalRole role) { put(terminal_word(role), role, 0, {}); }
    void put(std::string_view table_name, TerminalRole role, unsigned number, Span where) {
        const std::string_view print = marked_ ? print_of(table_name) : table_name;
        const std::string_view path = reading_.arena.join({base_, ".", print});
        const std::string_view name = path.substr(base_.size() + 1);
        Terminal& terminal = scope_.terminals.emplace_back();
        terminal.part = id_;
        terminal.name = name;
        terminal.path = path;
        terminal.table_name = print == table_name ? name : reading_.arena.keep(table_name);
        terminal.role = role;
        terminal.number = static_cast<std::uint16_t>(number);
        terminal.mate_half = mate_half_;
        if (named_by_user_) wheres_.push_back(where);
    }
    void add_all(std::initializer_list<TerminalRole> roles) {
        for (const TerminalRole role : roles) add(role);
    }
    // `pole`: 0 where there is only one.
    void add_pole(unsigned pole, TerminalRole role) {
        if (pole == 0) return add(role);
        put(reading_.arena.join({number(pole), ".", terminal_word(role)}), role, pole, {});
    }
    void add_numbers(unsigned count) {
        for (unsigned i = 1; i <= count; ++i) add(number(i));
    }
    std::string_view number(unsigned value) {
        const auto end = std::to_chars(digits_.data(), digits_.data() + digits_.size(), value).ptr;
        return {digits_.data(), static_cast<std::size_t>(end - digits_.data())};
    }
    void add_names(Attr attribute, std::size_t from = 0) {
        named_by_user_ = true;
        wheres_.resize(scope_.terminals.size() - part_.terminals.first);
        const Attribute* found = attributes_.find(attribute);
        if (!found) return give_up();
        const auto values = attributes_.values_of(*found);
        for (std::size_t i = from; i < values.size() && i < most_terminals; ++i)
            add(values[i].text, values[i].where);
    }
    void add_pins() {
        named_by_user_ = true;
        wheres_.resize(scope_.terminals.size() - part_.terminals.first);
        for (const Attribute& attribute : attributes_.attributes) {
            if (attribute.name != "pin"_attr) continue;
            const auto values = attributes_.values_of(attribute);
            if (values.size() < 2 || !values[0].present()) continue;
            if (const auto purpose = find_pin_purpose(values[1].text); purpose && is_driver(*purpose))
                scope_.driver_pins.push_back(TerminalId(scope_.terminals.size()));
            add(values[0].text, values[0].where);
        }
    }
    void add_point() {
        Terminal& terminal = scope_.terminals.emplace_back();
        terminal.part = id_;
        terminal.path = part_.name;
    }
    void give_up() { traits_.bad = true; }

    void pass_through(std::uint32_t contacts = 2) {
        traits_.passes = true;
        traits_.contact_terminals = contacts;
    }

    // ---- reading what decides them
    // 0 where it is missing or wrong.
    unsigned count_of(Attr attribute, unsigned otherwise, unsigned most) {
        const Attribute* found = attributes_.find(attribute);
        if (!found) return otherwise;
        const Value value =
            attributes_.values_of(*found).empty() ? Value{} : attributes_.values_of(*found)[0];
        if (!value.present()) return 0;
        unsigned result = 0;
        if (value.type == ValueType::count)
            result = value.lo >= 0 && value.lo <= 1e6 ? static_cast<unsigned>(value.lo) : most + 1;
        else
            std::from_chars(value.text.data(), value.text.data() + value.text.size(), result);
        if (result >= 1 && result <= most) return result;
        reading_
            .say("out-of-range", value.where,
                 std::string(info(part_.kind).a_word) + " cannot have " +
                     std::string(reading_.sources->text(value.where)) + " " +
                     std::string(info(attribute).name))
            .help = "from 1 to " + std::to_string(most) + " are accepted";
        return 0;
    }
    std::string_view word_of_attribute(Attr attribute) { return attributes_.value(attribute).text; }

    void make_by_kind() {
        switch (part_.kind) {
            case Kind::pack:
                return make_pack();
            case Kind::bms:
                return make_bms();
            case Kind::fuse:
            case Kind::breaker:
            case Kind::protector:
            case Kind::shunt:
            case Kind::resistor:
                add_all({Role::in, Role::out});
                return pass_through();
            case Kind::fuse_block:
                if (word_of_attribute("feed"_attr) == "common") add(Role::in);
                return;
            case Kind::contactor:
                add_all({Role::in, Role::out, Role::coil_in, Role::coil_out});
                return pass_through();
            case Kind::relay:
                return make_relay();
            case Kind::switch_:
                return make_switch();
            case Kind::selector:
                add_names("terminals"_attr);
                traits_.contact_terminals =
                    static_cast<std::uint32_t>(scope_.terminals.size()) - part_.terminals.first;
                return;
            case Kind::connector:
                return make_connector();
            case Kind::terminal_block:
                return make_numbered("ways"_attr);
            case Kind::busbar:
                return make_numbered("studs"_attr);
            case Kind::splice:
            case Kind::stud:
            case Kind::frame:
            case Kind::port:
                return add_point();
            case Kind::charger:
                add_all({Role::plus, Role::minus});
                if (attributes_.find("panel-input"_attr)) add_all({Role::in_plus, Role::in_minus});
                return pass_through(0);
            case Kind::capacitor:
            case Kind::inverter:
            case Kind::panel:
            case Kind::load:
                add_all({Role::plus, Role::minus});
                return pass_through(0);
            case Kind::diode:
                add_all({Role::anode, Role::cathode});
                return pass_through();
            case Kind::controller:
                add_all({Role::plus, Role::minus});
                add_leads(count_of("phases"_attr, 3, 3));
                return add_pins();
            case Kind::motor:
                make_motor();
                return;
            case Kind::converter:
                add_all({Role::in_plus, Role::in_minus, Role::out_plus, Role::out_minus});
                return add_pins();
            case Kind::device:
                return add_pins();
            default:
                return;
        }
    }

    // "t4"
    static bool is_tap_terminal(std::string_view text) {
        return text.size() > 1 && text.front() == 't' &&
               std::all_of(text.begin() + 1, text.end(),
                           [](char each) { return each >= '0' && each <= '9'; });
    }

    void make_pack() {
        add_all({Role::plus, Role::minus});
        const Attribute* taps = attributes_.find("taps"_attr);
        if (!taps) return;
        named_by_user_ = true;
        wheres_.resize(2);
        const Value series = attributes_.value("cells"_attr);
        for (const Value& tap : attributes_.values_of(*taps)) {
            unsigned cells = 0;
            const auto [end, error] =
                std::from_chars(tap.text.data(), tap.text.data() + tap.text.size(), cells);
            const bool number = error == std::errc() && end == tap.text.data() + tap.text.size() && cells > 0;
            if (!number || (series.present() && cells >= series.lo)) {
                Diagnostic& mistake = reading_.say(
                    "out-of-range", tap.where,
                    "pack " + std::string(part_.name) + " has no tap '" + std::string(tap.text) + "'");
                mistake.help = "a tap is named by the number of cells between it and minus";
                // Its terminal is t4, the tap itself 4.
                if (is_tap_terminal(tap.text)) {
                    mistake.beside = "write taps " + std::string(tap.text.substr(1));
                    mistake.help += "; its terminal is " + std::string(tap.text);
                }
                give_up();
                continue;
            }
            put(reading_.arena.join({terminal_word(Role::tap), tap.text}), Role::tap, cells, tap.where);
        }
    }

    void make_bms() {
        const std::string_view side = word_of_attribute("side"_attr);
        if (attributes_.find("drives"_attr)) return side.empty() ? give_up() : add_pins();
        const std::string_view ports = word_of_attribute("ports"_attr);
        if (side.empty() || ports.empty()) return give_up();
        if (side == "low")
            add_all({Role::battery_minus, Role::port_minus});
        else
            add_all({Role::battery_plus, Role::port_plus});
        if (ports == "separate") add(side == "low" ? Role::charge_minus : Role::charge_plus);
        pass_through(ports == "separate" ? 3 : 2);
        add_pins();
    }

    void make_relay() {
        const Attribute* contacts = attributes_.find("contacts"_attr);
        if (!contacts || contacts->count == 0) return give_up();
        const auto values = attributes_.values_of(*contacts);
        unsigned pole = 0;
        for (const Value& value : values) {
            if (++pole > most_poles) break;
            const unsigned named = values.size() == 1 ? 0 : pole;
            const std::optional<RelayPole> does = find_relay_pole(value.text);
            if (does == RelayPole::closes || does == RelayPole::opens) {
                add_pole(named, Role::in);
                add_pole(named, Role::out);
                traits_.passes = values.size() == 1;
            } else if (does == RelayPole::changes_over) {
                for (const Role role : {Role::com, Role::no, Role::nc}) add_pole(named, role);
            } else {
                reading_
                    .say("unknown-word", value.where,
                         "'contacts' of a relay cannot be '" + std::string(value.text) + "'")
                    .help = "it is one of no, nc, change-over, a word for each pole";
                give_up();
            }
        }
        traits_.contact_terminals =
            static_cast<std::uint32_t>(scope_.terminals.size()) - part_.terminals.first;
        add_all({Role::coil_in, Role::coil_out});
    }

    void make_switch() {
        const unsigned poles = count_of("poles"_attr, 1, most_poles);
        if (poles == 0) return give_up();
        if (poles == 1) {
            add_all({Role::in, Role::out});
            return pass_through();
        }
        for (unsigned pole = 1; pole <= poles; ++pole) {
            add_pole(pole, Role::in);
            add_pole(pole, Role::out);
        }
        traits_.contact_terminals = 2 * poles;
    }

    void make_connector() {
        const Attribute* contacts = attributes_.find("contacts"_attr);
        const Value mate = attributes_.value("mate"_attr);
        part_.mate = mate.text;
        if (!contacts || contacts->count == 0 || mate.text.empty()) return give_up();
        const auto values = attributes_.values_of(*contacts);
        const bool counted = values.size() == 1 && !values[0].text.empty() &&
                             std::all_of(values[0].text.begin(), values[0].text.end(),
                                         [](char c) { return c >= '0' && c <= '9'; });
        const bool count = counted || (values.size() == 1 && values[0].type == ValueType::count);
        const unsigned number_of = count ? count_of("contacts"_attr, 0, most_terminals) : 0;
        if (count && number_of == 0) return give_up();
        for (const std::string_view half : {part_.name, part_.mate}) {
            base_ = half;
            if (count)
                add_numbers(number_of);
            else
                add_names("contacts"_attr);
            mate_half_ = true;
        }
    }

    void make_numbered(Attr attribute) {
        const unsigned count = count_of(attribute, 0, most_terminals);
        if (count == 0) return give_up();
        add_numbers(count);
    }

    void add_leads(unsigned leads) {
        if (leads == 3)
            add_all({Role::u, Role::v, Role::w});
        else if (leads == 2)
            add_all({Role::motor_plus, Role::motor_minus});
        else if (leads == 1)
            say_leads();
        else
            give_up();
    }
    void make_motor() {
        const unsigned leads = count_of("leads"_attr, 0, 3);
        add_leads(leads);
        if (leads == 2) pass_through(0);
    }
    void say_leads() {
        const Attr attribute = part_.kind == Kind::motor ? "leads"_attr : "phases"_attr;
        reading_
            .say("out-of-range", attributes_.value(attribute).where,
                 "a " + std::string(info(part_.kind).word) + " has 2 leads, M+ and M-, or 3, U V and W")
            .help = "write " + std::string(info(attribute).name) + " 3";
        give_up();
    }

    // ---- marks
    std::string_view print_of(std::string_view role) const {
        for (const Attribute& attribute : attributes_.attributes) {
            if (attribute.name != "marks"_attr) continue;
            const auto values = attributes_.values_of(attribute);
            if (values.size() == 2 && values[0].text == role) return values[1].text;
        }
        return role;
    }

    Reading& reading_;
    Scope& scope_;
    PartId id_;
    Part& part_;
    PartTraits& traits_;
    const AttributeList& attributes_;
    std::string_view base_;
    std::array<char, 12> digits_{};
    std::vector<Span> wheres_;  // of the names the user gave, by terminal of the part
    bool marked_ = false;
    bool mate_half_ = false;
    bool named_by_user_ = false;
};

}  // namespace

void make_terminals(Reading& reading, Scope& scope, PartId id, const AttributeList& attributes) {
    TerminalMaker(reading, scope, id, attributes).make();
}

}  // namespace loomward
