// From a harness to its papers, and pages taken apart, for tests.
#pragma once
#include <catch2/catch.hpp>

#include <map>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "checker/fault_look.hpp"
#include "checker/papers/papers.hpp"
#include "parser/disk.hpp"
#include "parser/read.hpp"
#include "tests/approved.hpp"

namespace loomward::testing {

struct Made {
    std::string path;
    Results results;
    Papers papers;
};

inline Made papers_of_text(const std::string& path, const std::string& text, double allowance = 0) {
    const std::unique_ptr<FileReader> disk = disk_reader();
    std::vector<std::string_view> names;
    const std::vector<RuleInfo> rules = rule_list();
    for (const RuleInfo& rule : rules) names.push_back(rule.name);
    ReadResult read = read_harness_text(path, text, *disk, {names});
    for (const Diagnostic& mistake : read.mistakes)
        FAIL("line " << read.sources->position(mistake.where).line << " " << mistake.message);
    Made made{path, {}, {}};
    made.results = check(std::make_shared<const Harness>(std::move(*read.harness)));
    made.papers =
        papers_of(made.results, short_facts(made.results, FaultLook(made.results).study()), allowance);
    return made;
}

inline const std::vector<std::string> example_names = {
    "bench-rig-12v", "greenhouse-line",      "ice-sweeper",      "launch-24v",
    "market-cart",   "market-cart-mistakes", "vineyard-carrier", "yard-crane-96v"};
inline Made papers_of_example(const std::string& name) {
    const std::string file = "examples/" + name + ".loom";
    return papers_of_text(std::string(LOOMWARD_SOURCE_DIR) + "/" + file, approved::read(file));
}

// One element's beginning or end as it stands in a page.
struct PageTag {
    std::string name;
    bool end = false, closed = false;  // </name>; <name/>
    std::map<std::string, std::string> attributes;
    std::size_t at = 0, after = 0;  // bytes
};

// Every tag outside of style and script. Fails the test where a tag does not end, an attribute is not quoted
// or stands twice.
inline std::vector<PageTag> tags_of(const std::string& page) {
    std::vector<PageTag> tags;
    for (std::size_t at = page.find('<'); at != std::string::npos; at = page.find('<', at)) {
        if (page[at + 1] == '!') {
            ++at;
            continue;
        }
        PageTag tag;
        tag.at = at++;
        if (page[at] == '/') tag.end = true, ++at;
        while (at < page.size() && (std::isalnum(static_cast<unsigned char>(page[at])) != 0))
            tag.name += page[at++];
        if (tag.name.empty()) FAIL("a tag without a name: " << page.substr(tag.at, 60));
        while (at < page.size() && page[at] != '>') {
            if (page[at] == ' ' || page[at] == '\n') {
                ++at;
                continue;
            }
            if (page[at] == '/') {
                tag.closed = true, ++at;
                continue;
            }
            const std::size_t equals = page.find('=', at);
            if (equals == std::string::npos || page[equals + 1] != '"')
                FAIL("an attribute without quotes: " << page.substr(tag.at, 120));
            const std::size_t quote = page.find('"', equals + 2);
            if (quote == std::string::npos) FAIL("an open quote: " << page.substr(tag.at, 120));
            if (!tag.attributes
                     .emplace(page.substr(at, equals - at), page.substr(equals + 2, quote - equals - 2))
                     .second)
                FAIL("an attribute twice: " << page.substr(tag.at, 120));
            at = quote + 1;
        }
        tag.after = at + 1;
        if (!tag.end && (tag.name == "style" || tag.name == "script"))
            at = page.find("</" + tag.name + ">", at);
        tags.push_back(std::move(tag));
    }
    return tags;
}

}  // namespace loomward::testing
