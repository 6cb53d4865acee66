// The report as a page: nothing in it comes from outside, everything leads somewhere, every figure is that of
// the JSON, and what a stranger's file says stays text.
#include "render/papers/report.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "render/json/json_papers.hpp"
#include "tests/bench/harness_writer.hpp"
#include "tests/papers/papers_support.hpp"

namespace report_test {

using namespace loomward;
using namespace loomward::testing;

namespace {

std::string page_of(const Made& made) {
    return report_html({made.path, "0.0.0", &made.results, &made.papers, nullptr});
}
std::string json_of(const Made& made) {
    const std::vector<Diagnostic> none;
    return papers_json({made.path, made.results.harness->sources.get(), &none, &made.results}, &made.papers,
                       "0.0.0");
}

void gather(const nlohmann::json& json, std::set<double>& numbers) {
    if (json.is_number()) numbers.insert(json.get<double>());
    if (json.is_structured())
        for (const auto& each : json) gather(each, numbers);
}

// Figures of the page that the JSON does not have, less a sign.
std::vector<std::string> strangers(const std::string& page, const std::string& json) {
    std::set<double> numbers;
    gather(nlohmann::json::parse(json), numbers);
    std::vector<std::string> found;
    for (const PageTag& tag : tags_of(page)) {
        if (tag.name != "data" || tag.end) continue;
        const std::string& text = tag.attributes.at("value");
        const double value = std::stod(text);
        if (!numbers.contains(value) && !numbers.contains(-value)) found.push_back(text);
    }
    return found;
}

// Of ids that stand twice and links that lead nowhere.
std::vector<std::string> loose_ends(const std::string& page) {
    std::vector<std::string> wrong;
    std::set<std::string> ids;
    const std::vector<PageTag> tags = tags_of(page);
    for (const PageTag& tag : tags)
        if (const auto id = tag.attributes.find("id");
            id != tag.attributes.end() && !ids.insert(id->second).second)
            wrong.push_back("twice: " + id->second);
    for (const PageTag& tag : tags)
        for (const char* name : {"href", "for", "aria-labelledby"})
            if (const auto link = tag.attributes.find(name); link != tag.attributes.end()) {
                std::string rest = link->second;
                if (rest.starts_with("#")) rest = rest.substr(1);
                for (std::size_t space; !rest.empty();
                     rest = space == std::string::npos ? "" : rest.substr(space + 1)) {
                    space = rest.find(' ');
                    if (!ids.contains(rest.substr(0, space))) wrong.push_back("nowhere: " + rest);
                }
            }
    return wrong;
}

// Elements that are not closed in the order in which they were opened.
std::vector<std::string> crossed(const std::string& page) {
    const std::set<std::string> empty = {"meta", "br", "input"};
    std::vector<std::string> open, wrong;
    for (const PageTag& tag : tags_of(page)) {
        if (tag.closed || empty.contains(tag.name)) continue;
        if (!tag.end)
            open.push_back(tag.name);
        else if (open.empty() || open.back() != tag.name)
            wrong.push_back(tag.name);
        else
            open.pop_back();
    }
    wrong.insert(wrong.end(), open.begin(), open.end());
    return wrong;
}

// Every place where a file may hold a text, filled with `hostile`.
std::string hostile_harness(const std::string& hostile) {
    return "loom 1\n"
           "harness \"" +
           hostile + "\" { revision \"" + hostile + "\", note \"" + hostile +
           "\" }\n"
           "pack B1 \"" +
           hostile +
           "\" { voltage 20..29 V, resistance 10 mohm, capacity 40 Ah, discharge 40 A, "
           "note \"" +
           hostile + "\", order \"" + hostile + "\", doubt \"" + hostile +
           "\" }\n"
           "fuse F1 \"" +
           hostile + "\" { 10 A, 32 V dc, curve iso8820-3, breaks 1 kA at 32 V dc, order \"" + hostile +
           "\" }\n"
           "load E1 \"" +
           hostile +
           "\" { 24 V, 5 A, acts-as current, works 18..32 V }\n"
           "bundle L1 \"" +
           hostile +
           "\" { wrap taped, length 1 m }\n"
           "route B1.+ (W1 2.5 mm2, 0.1 m, red, note \"" +
           hostile + "\", order \"" + hostile + "\", ends \"" + hostile + "\" \"" + hostile +
           "\") F1 (W2 2.5 mm2, 1 m, red, in L1) E1 (W3 2.5 mm2, 1 m, black, in L1) B1.-\n"
           "mode on { E1 on }\n"
           "accept no-disconnect on E1 because \"" +
           hostile + "\"\n";
}

}  // namespace

TEST_CASE("every figure of a report is one of its JSON") {
    for (const std::string& name : example_names) {
        INFO(name);
        const Made made = papers_of_example(name);
        CHECK(strangers(page_of(made), json_of(made)) == std::vector<std::string>{});
    }
}

TEST_CASE("a figure that the JSON does not have is seen") {
    const Made made = papers_of_example("bench-rig-12v");
    std::string page = page_of(made);
    const std::size_t at = page.find("<data value=\"") + 13;
    page.insert(at, "7");
    CHECK(strangers(page, json_of(made)).size() >= 1);
}

TEST_CASE("reports of all examples are whole: no loose links, no id twice, every element closed in order") {
    for (const std::string& name : example_names) {
        INFO(name);
        const std::string page = page_of(papers_of_example(name));
        CHECK(loose_ends(page) == std::vector<std::string>{});
        CHECK(crossed(page) == std::vector<std::string>{});
        CHECK(page.size() < 420'000);
    }
}

TEST_CASE("a report of 300 wires with 200 findings can be sent by mail: below 2 MB, and whole") {
    std::string text = bench::generate_harness(300, 1).loom;
    const auto exchange = [&](std::string_view sound, std::string_view wrong) {
        std::size_t count = 0;
        for (std::size_t at = text.find(sound); at != std::string::npos;
             at = text.find(sound, at + wrong.size())) {
            text.replace(at, sound.size(), wrong);
            ++count;
        }
        CHECK(count >= 15);
    };
    exchange("is way-fuse { 5 A", "is way-fuse { 30 A");
    exchange("carries 8 A, 60 V", "carries 0.2 A, 60 V");
    exchange("carries 6 A, breaks 4 A", "carries 0.3 A, breaks 0.2 A");
    const Made made = papers_of_text("train.loom", text);
    CHECK(made.results.harness->wires.size() >= 300);
    CHECK(made.results.count(Severity::error) + made.results.count(Severity::warning) >= 200);
    const std::string page = page_of(made);
    CHECK(page.size() < 2'000'000);
    CHECK(loose_ends(page) == std::vector<std::string>{});
    CHECK(crossed(page) == std::vector<std::string>{});
}

TEST_CASE("reports ask for nothing from anywhere and promise nothing") {
    for (const std::string name : {"bench-rig-12v", "ice-sweeper", "market-cart-mistakes"}) {
        INFO(name);
        std::string page = page_of(papers_of_example(name));
        for (const PageTag& tag : tags_of(page)) {
            CHECK_FALSE(tag.attributes.contains("src"));
            CHECK(tag.name != "link");
            CHECK(tag.name != "img");
            CHECK(tag.name != "iframe");
            if (const auto href = tag.attributes.find("href"); href != tag.attributes.end())
                CHECK(href->second.starts_with("#"));
        }
        CHECK(page.find("url(") == std::string::npos);
        CHECK(page.find("@import") == std::string::npos);
        for (char& c : page) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        for (const char* word : {"is safe", "are safe", "safe to", "approved", " ok "})
            CHECK(page.find(word) == std::string::npos);
    }
}

TEST_CASE("what a stranger's file says stays text, wherever it stands") {
    const std::string quoted = "\\\"";  // as the language escapes it
    for (const std::string& hostile :
         {std::string("</script><script>alert(1)</script>"), std::string("<img src=x onerror=alert(1)>"),
          quoted + " onmouseover=" + quoted + "alert(1)",
          std::string("</title></style><svg onload=alert(1)>"), std::string("' ; & &lt;b&gt; <!-- <b>"),
          std::string("}</style>*/"), std::string("javascript:alert(1)")}) {
        INFO(hostile);
        const Made made = papers_of_text("<b>.loom", hostile_harness(hostile));
        const std::string page = page_of(made);
        CHECK(crossed(page) == std::vector<std::string>{});
        std::size_t scripts = 0;
        for (const PageTag& tag : tags_of(page)) {
            if (tag.name == "script" && !tag.end) ++scripts;
            CHECK(tag.name != "img");
            for (const auto& [key, value] : tag.attributes) CHECK_FALSE(key.starts_with("on"));
        }
        CHECK(scripts == 1);
        // It is there: title, twice at least a label, and the reason of what was accepted.
        CHECK(page.find("The owner says") != std::string::npos);
    }
}

TEST_CASE("a report of a text with mistakes says them and nothing else") {
    const std::unique_ptr<FileReader> disk = disk_reader();
    const ReadResult read = read_harness_text("x.loom", "loom 1\nfuze F1 { 3 A }\n", *disk, {});
    REQUIRE(!read.mistakes.empty());
    const std::string page = mistakes_report_html("x.loom", "0.0.0", read.mistakes, *read.sources);
    CHECK(page.find("Nothing can be said about this harness.") != std::string::npos);
    CHECK(page.find("fuze") != std::string::npos);
    CHECK(crossed(page) == std::vector<std::string>{});
    CHECK(loose_ends(page) == std::vector<std::string>{});
}

TEST_CASE("no line of the head breaks inside the ambient") {
    CHECK(page_of(papers_of_example("market-cart"))
              .find("<span class=\"nw\">ambient -5 to 40\u00A0°C</span>") != std::string::npos);
}

TEST_CASE("findings have the numbers of the pennants on the sheet") {
    const Made made = papers_of_example("market-cart-mistakes");
    const std::string page = page_of(made);
    for (std::size_t i = 0; i < made.results.findings.size(); ++i) {
        const std::size_t number = made.papers.numbers[i];
        const Finding& finding = made.results.findings[i];
        if (number == 0) continue;
        // The list in the frame of the sheet: "12" on a pennant, then "fuse voltage F4: rated 32 V ...
        // /1/B3".
        std::string words = finding.rule;
        std::replace(words.begin(), words.end(), '-', ' ');
        const std::size_t listed = page.find(">" + words + " " + finding.subject + ":");
        INFO(number << " " << finding.rule << " " << finding.subject);
        REQUIRE(listed != std::string::npos);
        const std::size_t text = page.rfind("</text>", listed);
        const std::size_t begin = page.rfind('>', text - 1);
        CHECK(page.substr(begin + 1, text - begin - 1) == std::to_string(number));
    }
}

}  // namespace report_test
