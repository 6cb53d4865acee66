#include "cli/new_options.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace loomward::cli {
namespace {

// Reads one option after the other until one is wrong.
class Telling {
  public:
    void value(std::string_view option, const std::string& typed, Dimension dimension, bool range,
               std::string& into) {
        if (typed.empty() || !trouble_.empty()) return;
        take(option, typed, told_value(typed, dimension, range), into);
    }
    // A part that is there, with values or with `unknown`.
    void part(std::string_view option, const std::string& typed, const std::vector<Dimension>& dimensions,
              std::string& into) {
        if (typed.empty() || typed == "unknown" || !trouble_.empty()) return;
        take(option, typed, told_values(typed, dimensions), into);
    }
    void load(std::string_view option, const std::string& typed, bool at_pack, std::vector<FirstLoad>& into) {
        if (!trouble_.empty()) return;
        ToldLoad told = told_load(typed);
        wrong(option, typed, told.trouble);
        told.load.at_pack_voltage = at_pack;
        into.push_back(std::move(told.load));
    }
    void needs(bool there, std::string_view option, std::string_view what) {
        if (!there && trouble_.empty()) trouble_ = fmt::format("{}: {}", option, what);
    }
    const std::string& trouble() const { return trouble_; }

  private:
    void wrong(std::string_view option, const std::string& typed, const std::string& why) {
        if (!why.empty()) trouble_ = fmt::format("{} {}: {}", option, typed, why);
    }
    void take(std::string_view option, const std::string& typed, ToldValue told, std::string& into) {
        wrong(option, typed, told.trouble);
        into = std::move(told.text);
    }

    std::string trouble_;
};

// "13s8p", and nothing else: counts that a pack may have.
bool is_series(const std::string& cells) {
    const std::size_t s = cells.find('s');
    if (s == std::string::npos || s == 0 || s > 3 || cells.size() < s + 3 || cells.size() > s + 5 ||
        cells.back() != 'p' || cells.front() == '0' || cells[s + 1] == '0')
        return false;
    for (std::size_t i = 0; i + 1 < cells.size(); ++i)
        if (i != s && (cells[i] < '0' || cells[i] > '9')) return false;
    return true;
}

std::string name_of(const NewWords& typed, const std::string& file) {
    if (!typed.name.empty()) return typed.name;
    const std::string stem = file == "-" ? "" : std::filesystem::path(file).stem().string();
    return stem.empty() ? "First harness" : stem;
}

}  // namespace

std::string tell_first_harness(const NewWords& typed, const std::string& file, FirstHarness& first) {
    using enum Dimension;
    Telling telling;
    first.name = name_of(typed, file);
    first.document = typed.document;
    first.date = typed.date;
    first.drawn_by = typed.drawn_by;
    telling.value("--ambient", typed.ambient, temperature, true, first.ambient);
    telling.value("--voltage", typed.voltage, voltage, true, first.voltage);
    telling.value("--capacity", typed.capacity, Dimension::charge, false, first.capacity);
    telling.value("--discharge", typed.discharge, current, false, first.discharge);
    telling.value("--charge", typed.charge, current, false, first.charge);
    telling.value("--main-fuse", typed.main_fuse, current, false, first.main_fuse);
    telling.needs(typed.cells.empty() || is_series(typed.cells), "--cells " + typed.cells,
                  "cells in series and side by side are written together, as 13s8p; one string is 13s1p");
    first.cells = typed.cells;
    telling.part("--controller", typed.controller, {current}, first.supply_limit);
    first.controller = !typed.controller.empty();
    telling.needs(typed.motor.empty() || first.controller, "--motor",
                  "it hangs on a controller: --controller "
                  "\"40 A\", or --controller unknown");
    telling.needs(!typed.contactor || first.controller, "--contactor",
                  "it stands before a controller: --controller \"40 A\", or --controller unknown");
    first.motor_leads = typed.motor;
    telling.part("--converter", typed.converter, {voltage, current}, first.converter_output);
    telling.needs(
        typed.converter.empty() == typed.negative.empty(), "--converter",
        "it needs --negative common or --negative isolated, and that needs it: whether its two minus "
        "sides are one point decides where the current comes back; measure between them with "
        "nothing connected");
    first.converter_negative = typed.negative;
    telling.part("--charger", typed.charger, {voltage, current}, first.charger_output);
    first.charger = !typed.charger.empty();
    telling.needs(!typed.charge_plug || first.charger, "--charge-plug",
                  "it leads to a charger: --charger unknown");
    telling.needs(!typed.separate_ports || !typed.bms_side.empty(), "--separate-ports",
                  "they are those of a battery management: --bms low, or --bms high");
    for (const std::string& load : typed.loads) telling.load("--load", load, false, first.loads);
    for (const std::string& load : typed.pack_loads) telling.load("--pack-load", load, true, first.loads);
    first.bms_side = typed.bms_side;
    first.separate_ports = typed.separate_ports;
    first.isolator = typed.isolator;
    first.contactor = typed.contactor;
    first.switched = typed.switched;
    first.charge_plug = typed.charge_plug;
    first.without_fuses = typed.without_fuses;
    return telling.trouble();
}

}  // namespace loomward::cli
