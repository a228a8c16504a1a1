#pragma once

// Compiled once for the room: Qt's widgets are slow to read.
#include <QtWidgets>
#include <cmath>
#include <memory>
#include <opencv2/core.hpp>
#include <string>
#include <vector>
