// docs/hot-days.md: its commands run on its harness, and print what stands there.
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <sstream>

#include "tests/approved.hpp"
#include "tests/cli/program.hpp"
#include "tests/json_schema.hpp"

namespace hot_days_page_test {

using json_schema::json;
using program::Folder;

namespace {

const char* const page_name = "docs/hot-days.md";

// What stands from after a line that begins with `fence`, and the end of it, a line that begins with `last`.
struct Block {
    std::size_t begin = std::string::npos, end = std::string::npos;
    std::string in(const std::string& page) const { return page.substr(begin, end - begin); }
};
Block block_after(const std::string& page, std::size_t from, const std::string& fence,
                  const std::string& last) {
    Block block;
    const std::size_t at = page.find("\n" + fence, from);
    if (at == std::string::npos) return block;
    block.begin = page.find('\n', at + 1) + 1;
    block.end = page.find(last, block.begin);
    return block;
}

void shell(const Folder& folder, const std::string& line) {
    INFO(line);
    REQUIRE(std::system(("cd '" + folder.path().string() + "' && " + line).c_str()) == 0);
}

std::string run_line(const Folder& folder, const std::string& line) {
    std::istringstream words(line);
    std::vector<std::string> arguments;
    for (std::string word; words >> word;) arguments.push_back(word);
    REQUIRE(arguments.front() == "loomward");
    arguments.erase(arguments.begin());
    const program::Ending ending = program::run(folder, arguments);
    CHECK(ending.code <= 1);
    CHECK(ending.trouble.empty());
    return ending.out;
}

json answered(const Folder& folder, const std::string& command, const std::string& mode,
              const std::string& file) {
    return json::parse(
        program::run(folder, {command, "--mode", mode, "--format", "json", file}).out)["files"][0];
}

json part_of(const json& mode, const std::string& name) {
    for (const json& part : mode["parts"])
        if (part["name"] == name) return part;
    FAIL("no part " << name);
    return {};
}

std::string span(const json& seconds) {
    if (seconds.is_null()) return "never";
    const double value = seconds.get<double>();
    return value < 600 ? fmt::format("{:.0f} s", value) : fmt::format("{:.0f} min", value / 60);
}

std::string variants(const Folder& folder) {
    std::string text =
        "| air | lid | leads | first to give out | controller | W3 | W8 | told as errors |\n"
        "| --- | --- | --- | --- | --- | --- | --- | --- |\n";
    for (const int air : {20, 45})
        for (const bool open : {true, false})
            for (const bool taped : {false, true}) {
                std::string edit = fmt::format("s/5\\.\\.20/5..{}/", air);
                if (!taped) edit += "; s/, in L1//";
                shell(folder, "sed '" + edit + "' barrow.loom > variant.loom");
                const std::string hill = open ? "hill" : "hill-shut";
                const json mode =
                    answered(folder, "endurance", hill, "variant.loom")["endurance"]["modes"][0];
                std::string errors;
                const json checked = answered(folder, "check", hill, "variant.loom");
                for (const json& finding : checked["results"]["findings"]) {
                    const std::string rule = finding["rule"];
                    if (finding["severity"] != "error" || errors.find(rule) != std::string::npos) continue;
                    errors += (errors.empty() ? "" : ", ") + ("`" + rule + "`");
                }
                const json& first = mode["parts"][0];
                const auto degrees = [&](const char* name) {
                    return fmt::format("{:.0f} degC", part_of(mode, name)["hottest_degC"].get<double>());
                };
                text += fmt::format("| {} degC | {} | {} | {} | {} | {} | {} | {} |\n", air,
                                    open ? "open" : "shut", taped ? "taped" : "apart",
                                    first["gives_out_after_s"].is_null()
                                        ? "nothing"
                                        : fmt::format("{}, after {}", first["name"].get<std::string>(),
                                                      span(first["gives_out_after_s"])),
                                    degrees("U1"), degrees("W3"), degrees("W8"),
                                    errors.empty() ? "nothing" : errors);
            }
    return text;
}

std::string settings(const Folder& folder) {
    std::string text =
        "| setting | cells, settled | hot after | empty after | first | help |\n"
        "| --- | --- | --- | --- | --- | --- |\n";
    for (const int setting : {15, 26, 35}) {
        const std::string value = std::to_string(setting) + " A";
        shell(folder, "sed 's/22\\.\\.30 mohm/60..70 mohm/; s/supply-limit 26 A/supply-limit " + value +
                          "/; s/draws 26 A.*/draws " + value + "/' barrow.loom > variant.loom");
        const json mode = answered(folder, "endurance", "hill", "variant.loom")["endurance"]["modes"][0];
        const json cells = part_of(mode, "B1");
        const double empty_s = mode["packs"][0]["flat_after_s"].get<double>();
        const json& hot_s = cells["gives_out_after_s"];
        std::string help = "none needed";
        const json checked = answered(folder, "check", "hill", "variant.loom");
        for (const json& finding : checked["results"]["findings"])
            if (finding["rule"] == "pack-too-hot") help = finding["help"].get<std::string>();
        text += fmt::format("| {} A | {:.0f} degC | {} | {} | {} | {} |\n", setting,
                            cells["hottest_degC"].get<double>(), span(hot_s), span(empty_s),
                            !hot_s.is_null() && hot_s.get<double>() < empty_s ? "hot" : "empty", help);
    }
    return text;
}

void put(std::string& page, const std::string& name, const std::string& table) {
    const Block old = block_after(page, 0, "<!-- " + name + ": begin", "<!-- " + name + ": end");
    REQUIRE(old.end != std::string::npos);
    page.replace(old.begin, old.end - old.begin, "\n" + table + "\n");
}

}  // namespace

TEST_CASE("the page of hot days holds what its commands print") {
    std::string page = approved::read(page_name);
    const Folder folder;
    folder.write("barrow.loom", block_after(page, 0, "```loom", "```\n").in(page));
    const program::Ending spring = program::run(folder, {"check", "--mode", "hill", "barrow.loom"});
    CHECK(spring.code == 0);
    CHECK(spring.out.find("no errors, no warnings") != std::string::npos);
    CHECK(program::run(folder, {"format", "--check", "barrow.loom"}).code == 0);
    std::size_t from = 0, commands = 0;
    for (Block asked = block_after(page, from, "```sh", "```\n"); asked.end != std::string::npos;
         asked = block_after(page, from, "```sh", "```\n")) {
        std::istringstream lines(asked.in(page));
        std::string printed;
        for (std::string line; std::getline(lines, line); ++commands)
            if (line.starts_with("loomward "))
                printed += run_line(folder, line);
            else
                shell(folder, line);
        const Block shown = block_after(page, asked.end, "```text", "```\n");
        REQUIRE(shown.end != std::string::npos);
        page.replace(shown.begin, shown.end - shown.begin, printed);
        from = shown.begin + printed.size();
    }
    CHECK(commands >= 8);
    put(page, "variants", variants(folder));
    put(page, "settings", settings(folder));
    CHECK(approved::compare_with(page_name, page) == page);
}

TEST_CASE("the JSON of check has the temperatures that endurance has, and the state of the box by mode") {
    const Folder folder;
    folder.write("barrow.loom",
                 block_after(approved::read(page_name), 0, "```loom", "```\n").in(approved::read(page_name)));
    const json held = answered(folder, "endurance", "hill", "barrow.loom")["endurance"]["modes"][0];
    const json checked = answered(folder, "check", "hill", "barrow.loom")["results"];
    REQUIRE(checked["contacts"].size() == 2);
    for (const json& contact : checked["contacts"]) {
        const json part = part_of(held, contact["name"]);
        CHECK(contact["hottest_degC"].get<double>() ==
              Approx(part["hottest_degC"].get<double>()).epsilon(1e-6));
        CHECK(contact["limit_degC"] == 105);
    }
    std::size_t judged = 0;
    for (const json& wire : checked["wires"]) {
        if (wire["hottest_degC"].is_null()) continue;
        ++judged;
        CHECK(wire["hottest_degC"] > 20);
        CHECK(wire["limit_degC"] == 90);
    }
    CHECK(judged == 10);
    const json shut = answered(folder, "check", "hill-shut", "barrow.loom")["results"];
    CHECK(checked["boxes"][0]["state"] == "open");
    CHECK(shut["boxes"][0]["state"] == "shut");
}

}  // namespace hot_days_page_test
