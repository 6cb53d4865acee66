#include "tests/laws/random_harness.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "tests/checker/random_network.hpp"

namespace laws {
namespace {

using loomward::test::Dice;

constexpr double sizes_mm2[] = {0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70};
constexpr double carries_A[] = {5,  8,  10, 14,  20,  28, 36,
                                52, 70, 95, 120, 150, 190};  // about, in a warm place
constexpr double fuses_A[] = {2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 150};

double tenth(double value) {
    return std::round(value * 10) / 10;
}

class Maker {
  public:
    explicit Maker(std::uint64_t seed) : dice_(seed * 7919U + 3U) {}

    RandomHarness make() {
        constexpr double levels[] = {12, 24, 36, 48, 96};
        volts_ = levels[dice_.below(5)];
        const std::uint32_t branches = 1 + dice_.below(4);
        bundled_ = dice_.chance(0.4);
        made_.head = fmt::format("loom 1\nharness \"Trial {}\" {{ ambient {}..{} degC, insulation {} }}\n",
                                 branches, dice_.chance(0.5) ? -10 : 5, dice_.chance(0.7) ? 35 : 50,
                                 dice_.chance(0.5) ? "pvc 70 degC" : "xlpe 90 degC");
        if (bundled_) part("bundle L1 {{ wrap {}, length 0.2 m }}", dice_.chance(0.5) ? "taped" : "sleeved");
        for (std::uint32_t i = 0; i < branches; ++i) add_branch(2 + i);
        if (dice_.chance(0.4)) add_converter();
        if (dice_.chance(0.4)) add_drive();
        if (dice_.chance(0.3)) add_charger();
        add_supply();
        made_.modes.insert(made_.modes.begin(), "mode off { others at rest }");
        made_.modes.push_back(fmt::format("mode all {{ S1 closed{}, others at rest }}", all_));
        return made_;
    }

  private:
    template <class... Values>
    void part(fmt::format_string<Values...> text, Values&&... values) {
        made_.parts.push_back(fmt::format(text, std::forward<Values>(values)...));
        std::string& written = made_.parts.back();
        if (!written.starts_with("fuse ")) return;
        // What a fuse of that size drops is stated, so that another size in its place changes nothing else.
        const double rated_A = std::stod(written.substr(written.find('{') + 1));
        written.insert(written.rfind(" }"), fmt::format(", resistance {:.3g} mohm", 100 / rated_A));
    }

    // The index that fits a current, or a step or two off.
    template <std::size_t N>
    std::size_t fitting(const double (&list)[N], double amps, int worst_off) {
        std::size_t at = 0;
        while (at + 1 < N && list[at] < amps) ++at;
        int off =
            dice_.chance(0.6)
                ? 0
                : static_cast<int>(dice_.below(static_cast<std::uint32_t>(2 * worst_off + 1))) - worst_off;
        return static_cast<std::size_t>(std::clamp(static_cast<int>(at) + off, 0, static_cast<int>(N) - 1));
    }
    void wire(const std::string& from, const std::string& to, double amps, double most_m, const char* colour,
              bool may_be_bundled = false) {
        WireText one;
        one.name = fmt::format("W{}", made_.wires.size() + 1);
        one.from = from;
        one.to = to;
        one.size = fmt::format("{} mm2", sizes_mm2[fitting(carries_A, amps, 2)]);
        const double length = std::max(0.05, std::round(most_m * dice_.between(0.3, 1) * 100) / 100);
        one.length = fmt::format("{} m", length);
        one.colour = colour;
        if (may_be_bundled && bundled_ && length > 0.25) one.bundle = "L1";
        made_.wires.push_back(one);
    }
    std::string bar(int which) {  // 1 plus, 2 minus
        return fmt::format("X{}.{}", which, ++used_[which]);
    }
    double rating() const { return volts_ > 60 ? 160 : 80; }
    std::string breaks() {
        return fmt::format("breaks {} A at {} V dc", dice_.chance(0.9) ? 4000 : 500, rating());
    }

    void add_branch(std::uint32_t number) {
        const double amps = std::round(dice_.of_order(1, 25) * 10) / 10;
        const std::string f = fmt::format("F{}", number), s = fmt::format("S{}", number),
                          e = fmt::format("E{}", number);
        part("fuse {} {{ {} A, {} V dc, {}, curve iso8820-3 }}", f,
             fuses_A[fitting(fuses_A, tenth(1.3 * amps), 1)], rating(), breaks());
        part("switch {} {{ {} V dc, carries {} A, makes {} A, breaks {} A at {} V dc }}", s, rating(),
             fuses_A[fitting(fuses_A, tenth(1.5 * amps), 1)], std::ceil(4 * amps), std::ceil(1.5 * amps),
             rating());
        const char* const acts[] = {"", ", acts-as current", ", acts-as resistor", ", acts-as power"};
        const std::string works =
            dice_.chance(0.5) ? fmt::format(", works {}..{} V", tenth(0.7 * volts_), tenth(1.3 * volts_))
                              : "";
        if (dice_.chance(0.5))
            part("load {} {{ {} V, {} A{}{} }}", e, volts_, amps, acts[dice_.below(4)], works);
        else
            part("load {} {{ {} V, {} W{}{} }}", e, volts_, std::round(amps * volts_), acts[dice_.below(4)],
                 works);
        wire(bar(1), f + ".in", 2 * amps, 0.15, "red");
        wire(f + ".out", s + ".in", tenth(1.5 * amps), 1, "red");
        if (dice_.chance(0.4)) {
            const std::string j = fmt::format("J{}", number), p = fmt::format("P{}", number);
            part(
                "connector {} {{ mate {}, half socket, contacts 2, carries {} A, {} V, takes 0.5..16 mm2, "
                "rated-at 30 degC, "
                "limit 90 degC }}",
                j, p, std::ceil(dice_.between(0.9, 2) * amps), rating());
            wire(s + ".out", j + ".1", tenth(1.5 * amps), 2, "white", true);
            wire(p + ".1", e + ".+", tenth(1.5 * amps), 1, "white");
            wire(e + ".-", p + ".2", tenth(1.5 * amps), 1, "black");
            wire(j + ".2", bar(2), tenth(1.5 * amps), 2, "black", true);
        } else {
            wire(s + ".out", e + ".+", tenth(1.5 * amps), 3, "white", true);
            wire(e + ".-", bar(2), tenth(1.5 * amps), 3, "black", true);
        }
        total_A_ += amps;
        all_ += fmt::format(", {} closed", s);
        made_.modes.push_back(fmt::format("mode use{} {{ S1 {} closed, others at rest }}", number, s));
    }

    void add_converter() {
        const char* const reverse[] = {"", ", reverse blocked", ", reverse passes"};
        part("fuse F20 {{ 10 A, {} V dc, {}, curve iso8820-3 }}", rating(), breaks());
        part(
            "converter D1 {{ input {}..{} V, output 12 V 8 A, efficiency 88 %, negative {}{}, capacitance "
            "200 uF }}",
            tenth(0.7 * volts_), tenth(1.4 * volts_), dice_.chance(0.7) ? "common" : "isolated",
            reverse[dice_.below(3)]);
        part("fuse F21 {{ 7.5 A, 32 V dc, breaks 1 kA at 32 V dc, curve iso8820-3 }}");
        part("load E21 {{ 12 V, {} W }}", 10 + dice_.below(80));
        wire(bar(1), "F20.in", 10, 0.15, "red");
        wire("F20.out", "D1.in+", 10, 1, "red", true);
        wire("D1.in-", bar(2), 10, 1, "black", true);
        wire("D1.out+", "F21.in", 8, 0.15, "orange");
        wire("F21.out", "E21.+", 8, 1, "orange");
        wire("E21.-", "D1.out-", 8, 1, "black");
        total_A_ += 100 / volts_;
    }

    void add_drive() {
        const double amps = std::round(dice_.between(10, 50));
        part("fuse F30 {{ {} A, {} V dc, {}, curve iso8820-5 }}",
             fuses_A[fitting(fuses_A, tenth(1.3 * amps), 1)], rating(), breaks());
        part(
            "contactor K1 {{ carries {} A, makes {} A, breaks {} A at {} V dc, coil {} V 200 mA, coil-works "
            "{}..{} V, "
            "suppression diode }}",
            std::ceil(1.5 * amps), dice_.chance(0.5) ? 60 : 2000, std::ceil(2 * amps), rating(), volts_,
            tenth(0.6 * volts_), tenth(1.3 * volts_));
        part(
            "controller U1 {{ input {}..{} V, capacitance 1 mF, phase-peak {} A, supply-limit {} A, regen "
            "{}, spare U V W "
            "}}",
            tenth(0.6 * volts_), tenth(1.4 * volts_), 3 * amps, amps, dice_.chance(0.5) ? "none" : "5 A");
        part("fuse F31 {{ 3 A, {} V dc, {}, curve iso8820-3 }}", rating(), breaks());
        part("switch S30 {{ {} V dc, carries 3 A, makes 5 A, breaks 2 A at {} V dc }}", rating(), rating());
        wire(bar(1), "F30.in", amps, 0.15, "red");
        wire("F30.out", "K1.in", amps, 0.5, "red");
        wire("K1.out", "U1.+", amps, 1, "red");
        wire("U1.-", bar(2), amps, 1, "black");
        wire(bar(1), "F31.in", 3, 0.15, "red");
        wire("F31.out", "S30.in", 3, 1, "red");
        wire("S30.out", "K1.A1", 3, 1, "orange");
        wire("K1.A2", bar(2), 3, 1, "black");
        total_A_ += amps;
        all_ += fmt::format(", S30 closed, K1 closed, U1 draws {} A", tenth(0.8 * amps));
        made_.modes.push_back(fmt::format(
            "mode drive {{ S1 S30 closed, K1 closed, U1 draws {} A, others at rest }}", tenth(0.8 * amps)));
    }

    void add_charger() {
        part("fuse F40 {{ 15 A, {} V dc, {}, curve iso8820-3 }}", rating(), breaks());
        part("charger G1 {{ output {} V {} A, reverse {} }}", tenth(1.2 * volts_), 5 + dice_.below(8),
             dice_.chance(0.5) ? "blocked" : "passes");
        wire("G1.+", "F40.in", 15, dice_.chance(0.5) ? 0.15 : 2, "red");
        wire("F40.out", bar(1), 15, 0.15, "red");
        wire("G1.-", bar(2), 15, 2, "black");
        made_.modes.push_back("mode charge { S1 closed, G1 delivers limit, others at rest }");
    }

    void add_supply() {
        const double amps = total_A_;
        const bool managed = dice_.chance(0.4);
        part(
            "pack B1 {{ voltage {}..{} V, resistance {} mohm, capacity 40 Ah, discharge {} A, charge 20 A }}",
            tenth(0.85 * volts_), tenth(1.2 * volts_), std::round(dice_.of_order(10, 60)),
            std::ceil(dice_.between(0.9, 2) * amps));
        part("fuse F1 {{ {} A, {} V dc, breaks {} kA at {} V dc, curve iso8820-5 }}",
             fuses_A[fitting(fuses_A, std::max(30.0, tenth(1.2 * amps)), 1)], rating(),
             dice_.chance(0.9) ? 10 : 1, rating());
        part("switch S1 {{ {} V dc, carries {} A, makes {} A, breaks {} A at {} V dc }}", rating(),
             std::ceil(dice_.between(0.9, 2) * amps), std::ceil(4 * amps) + 500, std::ceil(1.2 * amps),
             rating());
        part("busbar X1 {{ studs {}, carries {} A }}", used_[1] + 1, std::ceil(1.5 * amps));
        part("busbar X2 {{ studs {}, carries {} A }}", used_[2] + 1, std::ceil(1.5 * amps));
        wire("B1.+", "F1.in", tenth(1.3 * amps), 0.15, "red");
        wire("F1.out", "S1.in", tenth(1.2 * amps), 0.4, "red");
        wire("S1.out", bar(1), tenth(1.2 * amps), 0.4, "red");
        if (managed) {
            part(
                "bms Q1 {{ side low, ports common, discharge {} A, charge 20 A, trips {} A after 1 s, "
                "charge-trips 30 A "
                "after 2 s, resistance 1 mohm }}",
                std::ceil(1.3 * amps), std::ceil(3 * amps));
            wire("B1.-", "Q1.B-", tenth(1.2 * amps), 0.2, "black");
            wire("Q1.P-", bar(2), tenth(1.2 * amps), 0.4, "black");
        } else {
            wire("B1.-", bar(2), tenth(1.2 * amps), 0.4, "black");
        }
    }

    Dice dice_;
    RandomHarness made_;
    double volts_ = 12, total_A_ = 0;
    bool bundled_ = false;
    int used_[3] = {0, 0, 0};
    std::string all_;
};

}  // namespace

std::string route_of(const WireText& wire) {
    return fmt::format("route {} ({} {}, {}, {}{}) {}", wire.from, wire.name, wire.size, wire.length,
                       wire.colour, wire.bundle.empty() ? "" : ", in " + wire.bundle, wire.to);
}

std::string RandomHarness::text() const {
    std::string all = head;
    for (const std::string& each : parts) all += each + "\n";
    for (const WireText& each : wires) all += route_of(each) + "\n";
    for (const std::string& each : modes) all += each + "\n";
    return all;
}

RandomHarness random_harness(std::uint64_t seed) {
    return Maker(seed).make();
}

}  // namespace laws
