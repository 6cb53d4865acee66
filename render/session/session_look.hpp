// What a session keeps between two questions; nothing but the files of this room includes it.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "checker/fault_look.hpp"
#include "parser/read.hpp"
#include "render/session/session.hpp"

namespace loomward {

// Empty: the mode is there.
struct MissingMode {
    std::string what, help;
};

struct Session::Look {
    std::string path, mode;
    std::shared_ptr<FileReader> files;
    std::string trouble;
    ReadResult read;
    std::shared_ptr<const Harness> written;
    std::optional<Results> results;

    // Worked out when first asked for.
    std::optional<Results> every_mode;  // of a session of one mode
    std::unique_ptr<FaultLook> faults;
    std::optional<PowerUpSheet> power_up;
    std::optional<HandOver> hand_over;
    std::optional<Mended> mended;

    void add_trouble(std::string id, const std::string& what, const std::string& help);
    MissingMode missing_mode(std::string_view name) const;
};

}  // namespace loomward
