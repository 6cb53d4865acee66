// A validator for the part of JSON Schema that docs/check.schema.json uses: type, required, enum, properties,
// additionalProperties false, items, minimum and $ref into $defs. A keyword it does not know is reported, so
// that the schema cannot come to say something that nobody checks.
#pragma once
#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

namespace json_schema {

using nlohmann::json;

class Validator {
  public:
    explicit Validator(json schema) : root_(std::move(schema)) {}

    // What is wrong, each with its place ("/files/0/path: not a string"); empty: the document is valid.
    std::vector<std::string> complaints(const json& document) {
        complaints_.clear();
        validate(document, root_, "");
        return complaints_;
    }

  private:
    json root_;
    std::vector<std::string> complaints_;

    void complain(const std::string& where, const std::string& what) {
        complaints_.push_back(where + ": " + what);
    }

    static bool is(const json& value, const std::string& type) {
        if (type == "object") return value.is_object();
        if (type == "array") return value.is_array();
        if (type == "string") return value.is_string();
        if (type == "boolean") return value.is_boolean();
        if (type == "null") return value.is_null();
        if (type == "number") return value.is_number();
        return type == "integer" && value.is_number_integer();
    }

    static bool is_one_of(const json& value, const json& types) {
        if (types.is_string()) return is(value, types);
        return std::any_of(types.begin(), types.end(), [&](const json& type) { return is(value, type); });
    }

    void known_keywords(const json& schema, const std::string& where) {
        static const std::set<std::string> known = {
            "$schema",  "title",   "description", "type",
            "required", "enum",    "properties",  "additionalProperties",
            "items",    "minimum", "$ref",        "$defs"};
        for (const auto& [keyword, value] : schema.items())
            if (!known.count(keyword)) complain(where, "the validator does not know " + keyword);
    }

    void validate(const json& value, const json& schema, const std::string& where) {
        known_keywords(schema, where);
        if (schema.contains("$ref")) {
            const std::string reference = schema["$ref"];
            const json::json_pointer target(reference.substr(1));
            if (!root_.contains(target)) return complain(where, "no such definition: " + reference);
            return validate(value, root_[target], where);
        }
        if (schema.contains("type") && !is_one_of(value, schema["type"]))
            return complain(where, "is not " + schema["type"].dump());
        if (schema.contains("enum") &&
            std::find(schema["enum"].begin(), schema["enum"].end(), value) == schema["enum"].end())
            complain(where, value.dump() + " is not in " + schema["enum"].dump());
        if (schema.contains("minimum") && value.is_number() && value < schema["minimum"])
            complain(where, value.dump() + " is below " + schema["minimum"].dump());
        if (value.is_object()) validate_object(value, schema, where);
        if (value.is_array() && schema.contains("items"))
            for (std::size_t i = 0; i < value.size(); ++i)
                validate(value[i], schema["items"], where + "/" + std::to_string(i));
    }

    void validate_object(const json& value, const json& schema, const std::string& where) {
        for (const json& key : schema.value("required", json::array()))
            if (!value.contains(key.get<std::string>())) complain(where, "lacks " + key.get<std::string>());
        const json properties = schema.value("properties", json::object());
        for (const auto& [key, item] : value.items()) {
            if (properties.contains(key))
                validate(item, properties[key], where + "/" + key);
            else if (schema.value("additionalProperties", true) == false)
                complain(where, "has a key that is not described: " + key);
        }
    }
};

inline json load(const std::string& path) {
    std::ifstream file(path);
    return json::parse(file);
}

}  // namespace json_schema
