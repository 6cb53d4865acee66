// The generated harness as structs, read from JSON in two ways. No names are resolved and no units are worked
// out: this is less than the program does with its own text.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace loomward::bench {

struct JsonValue {
    double number = 0;
    std::string word;  // empty: a number
};
struct JsonAttribute {
    std::string name;
    std::vector<JsonValue> values;
};
struct JsonPart {
    std::string kind, name, label, type;
    std::vector<JsonAttribute> attributes;
};
struct JsonWire {
    std::string name, from, to, colour;
    double area_mm2 = 0;
    double length_m = 0;
    std::vector<std::string> bundles;
};
struct JsonMode {
    std::string name, like;
    std::vector<std::string> closed;
};
struct JsonHarness {
    std::string title;
    std::vector<JsonPart> parts;
    std::vector<JsonWire> wires;
    std::vector<JsonMode> modes;
};

JsonHarness read_with_nlohmann(const std::string& text);
// `text` must have the padding that simdjson wants behind it.
JsonHarness read_with_simdjson(std::string_view text, std::size_t capacity);

// The same things in the same order.
bool equal(const JsonHarness& a, const JsonHarness& b);

}  // namespace loomward::bench
