#pragma once

#include <opencv2/core.hpp>

/// Pictures whose odd and even lines were taken at two moments: a moving edge looks like a comb.
namespace vision::recording {

/// How many more pixels stand out from both lines beside them than from both columns beside them, by `kCombStep` grey
/// levels, over the picture's size in percent. Still wall has grain both ways alike: about 0.
double Combing(const cv::Mat& picture);

constexpr double kCombStep = 12;  ///< Grey levels of 255.
/// Combing from which a picture is called interlaced: the stills of fixtures lie below 0.75, with every second line
/// shifted by 2 px above 1.5 (tests/recording/interlace_test.cpp). Not tried on recordings of real interlaced cameras.
constexpr double kCombed = 1.5;

/// Keeps the even lines and fills the odd ones from the two beside them.
void Deinterlace(cv::Mat* picture);

}  // namespace vision::recording
