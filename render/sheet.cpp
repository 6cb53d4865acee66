#include "render/sheet.hpp"
