// One line of the language for each thing that was told, in the order in which current flows.
#include "parser/first/first_harness.hpp"

#include <fmt/format.h>

#include <charconv>
#include <memory>

#include "parser/read.hpp"
#include "parser/text/number_text.hpp"

namespace loomward {
namespace {

// "{ a, b }", or nothing.
std::string block(const std::vector<std::string>& attributes) {
    std::string inside;
    for (const std::string& attribute : attributes)
        if (!attribute.empty()) inside += (inside.empty() ? "" : ", ") + attribute;
    return inside.empty() ? "" : " { " + inside + " }";
}

std::string named(std::string_view name, const std::string& value) {
    return value.empty() ? "" : fmt::format("{} {}", name, value);
}

// "41 Ah" of 12 cells side by side is "3.417 Ah" of one; as it was told where that cannot be worked out.
std::string of_one_cell(const std::string& capacity, const std::string& cells) {
    const std::optional<Quantity> whole = quantity_from_text(capacity);
    const std::size_t at = cells.find('s');
    int parallel = 0;
    if (!whole || at == std::string::npos ||
        std::from_chars(cells.data() + at + 1, cells.data() + cells.size(), parallel).ec != std::errc() ||
        parallel <= 0)
        return capacity;
    return to_text(Quantity{whole->lo / parallel, whole->hi / parallel, Dimension::charge, {}}, 4);
}

// In quotes, as a text of the language; what would end it or the line is made harmless.
std::string as_text(std::string_view text) {
    std::string inside;
    for (const char c : text) {
        if (c == '"' || c == '\\') inside += '\\';
        inside += static_cast<unsigned char>(c) < 0x20 || c == 0x7F ? ' ' : c;
    }
    return '"' + inside + '"';
}

std::string named_text(std::string_view name, const std::string& value) {
    return value.empty() ? "" : fmt::format("{} {}", name, as_text(value));
}

class FirstWriter {
  public:
    explicit FirstWriter(const FirstHarness& told) : told_(told) {}

    std::string text() {
        head();
        source();
        for (const FirstLoad& load : told_.loads)
            (has_converter() && !load.at_pack_voltage ? low_loads_ : pack_loads_).push_back(&load);
        rail();
        drive();
        key();
        converter();
        for (const FirstLoad* load : pack_loads_) put_load(*load, plus(), minus());
        charger();
        fill_in("@studs@", plus_taken_);
        fill_in("@returns@", minus_taken_);
        number_wires();
        line("");
        line("# No mode is written yet: until there is one, a check makes some. For instance");
        line("# mode parked { others at rest }");
        return text_;
    }

  private:
    void line(const std::string& text) { text_ += text + "\n"; }
    // Numbered at the end, in the order of reading.
    static std::string wire() { return "(W)"; }
    void number_wires() {
        int number = 0;
        for (std::size_t at = text_.find("(W)"); at != std::string::npos; at = text_.find("(W)", at + 1))
            text_.insert(at + 2, std::to_string(++number));
    }
    void fill_in(std::string_view mark, int count) {
        text_.replace(text_.find(mark), mark.size(), std::to_string(count));
    }
    bool has_converter() const { return !told_.converter_negative.empty(); }
    bool has_fuses() const { return !told_.without_fuses; }

    void head() {
        line("loom 1");
        line(fmt::format("harness {}{}", as_text(told_.name),
                         block({named("ambient", told_.ambient), named_text("document", told_.document),
                                named_text("date", told_.date), named_text("drawn-by", told_.drawn_by)})));
        line("");
        line(
            "# A first harness, from what was told. What is left out is not known: a check says what it has");
        line(
            "# to be, and what to find out first. Write in what you measure or read; take out what is not "
            "there.");
    }

    void source() {
        line("");
        std::vector<std::string> pack;
        if (told_.cells.empty()) {
            pack = {named("voltage", told_.voltage), named("capacity", told_.capacity)};
        } else {
            pack = {named("cells", told_.cells)};
            if (!told_.capacity.empty())
                pack.push_back(named("cell-capacity", of_one_cell(told_.capacity, told_.cells)));
        }
        pack.push_back(named("discharge", told_.discharge));
        pack.push_back(named("charge", told_.charge));
        line("pack B1" + block(pack));
        if (!told_.bms_side.empty())
            line(fmt::format("bms Q1 {{ side {}, ports {} }}", told_.bms_side,
                             told_.separate_ports ? "separate" : "common"));
    }

    // From the pack to where everything branches off.
    void rail() {
        const bool low = told_.bms_side == "low", high = told_.bms_side == "high";
        std::string to_plus = "route B1.+ " + wire(), to_minus = "route B1.- " + wire();
        const std::string with_management = high ? " Q1 " + wire() : "";
        if (has_fuses() || !told_.main_fuse.empty()) {
            line("fuse F1 \"main fuse\"" + block({told_.main_fuse}) +
                 (told_.main_fuse.empty() ? "  # nobody told of it" : ""));
            fuses_ = 1;
            to_plus += " F1 " + wire();
        }
        to_plus += with_management;
        if (told_.isolator) {
            line("switch S1 \"isolator\"");
            switches_ = 1;
            to_plus += " S1 " + wire();
        }
        if (low) to_minus += " Q1 " + wire();
        line("busbar X1 \"plus\" { studs @studs@ }");
        line("busbar X2 \"minus\" { studs @returns@ }");
        line(to_plus + " " + plus());
        line(to_minus + " " + minus());
    }
    std::string plus() { return fmt::format("X1.{}", ++plus_taken_); }
    std::string minus() { return fmt::format("X2.{}", ++minus_taken_); }

    void drive() {
        if (!told_.controller) return;
        line("");
        if (told_.contactor) line("contactor K1 \"main contactor\"");
        line("controller U1" +
             block({named("supply-limit", told_.supply_limit), told_.motor_leads == "2" ? "phases 2" : ""}));
        std::string to = fmt::format("route {} {} ", plus(), wire());
        if (told_.contactor) to += fmt::format("K1 {} ", wire());
        line(to + "U1.+");
        line(fmt::format("route U1.- {} {}", wire(), minus()));
        motor();
    }
    void motor() {
        if (told_.motor_leads.empty()) return;
        line(fmt::format("motor M1 {{ leads {} }}", told_.motor_leads));
        const bool two = told_.motor_leads == "2";
        const std::vector<std::string> leads =
            two ? std::vector<std::string>{"M+", "M-"} : std::vector<std::string>{"U", "V", "W"};
        for (const std::string& lead : leads) line(fmt::format("route U1.{0} {1} M1.{0}", lead, wire()));
    }

    std::string next_fuse(const std::string& label) {
        const std::string name = fmt::format("F{}", ++fuses_);
        line(fmt::format("fuse {} {}  # nobody told of it", name, as_text(label)));
        return name;
    }
    // Wire, fuse, wire; or one wire where there are no fuses.
    std::string guarded(const std::string& from, const std::string& fuse) {
        std::string way = fmt::format("route {} {} ", from, wire());
        if (!fuse.empty()) way += fmt::format("{} {} ", fuse, wire());
        return way;
    }

    void key() {
        if (!told_.contactor || !told_.controller) return;
        line("");
        const std::string fuse = has_fuses() ? next_fuse("key") : "";
        const std::string name = fmt::format("S{}", ++switches_);
        line(fmt::format("switch {} \"key\"", name));
        line(guarded(plus(), fuse) + fmt::format("{} {} K1.A1", name, wire()));
        line(fmt::format("route K1.A2 {} {}", wire(), minus()));
    }

    void converter() {
        if (!has_converter()) return;
        line("");
        const std::string fuse = has_fuses() ? next_fuse("converter") : "";
        line("converter D1" +
             block({named("output", told_.converter_output), "negative " + told_.converter_negative}));
        line(guarded(plus(), fuse) + "D1.in+");
        line(fmt::format("route D1.in- {} {}", wire(), minus()));
        if (low_loads_.size() > 1) {
            const std::size_t count = low_loads_.size() + 1;
            line(fmt::format("busbar X3 \"behind the converter\" {{ studs {} }}", count));
            line(fmt::format("busbar X4 \"minus behind the converter\" {{ studs {} }}", count));
            line(fmt::format("route D1.out+ {} X3.1", wire()));
            line(fmt::format("route D1.out- {} X4.1", wire()));
        }
        for (std::size_t i = 0; i < low_loads_.size(); ++i)
            if (low_loads_.size() == 1)
                put_load(*low_loads_[i], "D1.out+", "D1.out-");
            else
                put_load(*low_loads_[i], fmt::format("X3.{}", i + 2), fmt::format("X4.{}", i + 2));
    }

    void put_load(const FirstLoad& load, const std::string& from, const std::string& to) {
        line("");
        const std::string name = fmt::format("E{}", ++loads_);
        const std::string label = load.label.empty() ? name : load.label;
        const std::string fuse = has_fuses() ? next_fuse(label) : "";
        std::string way = guarded(from, fuse);
        if (told_.switched) {
            const std::string by = fmt::format("S{}", ++switches_);
            line(fmt::format("switch {} {}", by, as_text(label)));
            way += fmt::format("{} {} ", by, wire());
        }
        line(fmt::format("load {}{}{}", name, load.label.empty() ? "" : " " + as_text(load.label),
                         block(load.values)));
        line(way + fmt::format("{} {} {}", name, wire(), to));
    }

    void charger() {
        if (!told_.charger) return;
        line("");
        const std::string fuse = has_fuses() ? next_fuse("charger") : "";
        line("charger G1" + block({named("output", told_.charger_output)}));
        // A charge port of its own is the way into the pack.
        const bool low = told_.separate_ports && told_.bms_side == "low";
        const bool high = told_.separate_ports && told_.bms_side == "high";
        std::string there = guarded(high ? "Q1.C+" : plus(), fuse);
        std::string back = fmt::format("route G1.- {} ", wire());
        if (told_.charge_plug) {
            line("connector J1 \"charge plug\" { mate P1, half socket, contacts + - }");
            there += fmt::format("J1.+ {} ", wire());
            back += fmt::format("P1.- {} ", wire());
        }
        line(there + "G1.+");
        line(back + (low ? "Q1.C-" : minus()));
    }

    const FirstHarness& told_;
    std::string text_;
    std::vector<const FirstLoad*> low_loads_, pack_loads_;
    int fuses_ = 0, switches_ = 0, loads_ = 0, plus_taken_ = 0, minus_taken_ = 0;
};

}  // namespace

std::string first_harness_text(const FirstHarness& told) {
    const std::string text = FirstWriter(told).text();
    std::shared_ptr<Sources> sources;
    std::vector<Diagnostic> mistakes;
    return format_text("first.loom", text, sources, mistakes).value_or(text);
}

}  // namespace loomward
