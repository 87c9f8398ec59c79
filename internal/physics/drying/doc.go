// Package drying follows the water in a stack of waterborne coats on a board
// that takes up none: how long a coat needs, what is left at a given time, what
// a dry film takes up again in damp air and gives off under a fan.
//
// # The model
//
// One dimension, across the film; the board seals the lower face. A coat holds
// liquid water between its particles until that is gone, then only what its
// binder dissolves.
//
//   - While the topmost liquid lies open, the face dries like a wet plate, by
//     the energy balance of package exchange: it runs colder than the air.
//   - Once the particles touch (volume fraction Packing), the liquid draws back
//     from the face and its vapour has to pass the emptied skin: n = drho/(1/hm +
//     s/D), s the depth of the skin, D its diffusivity for vapour (Kiil 2006,
//     Progress in Organic Coatings 57, 236-250, fitted to wet films of 89 to
//     1322 um).
//   - Water dissolved in the binder moves by Fick's law with a diffusivity that
//     depends on the temperature (Arrhenius); free face and joints between coats
//     are at sorption equilibrium. Damp air puts water in, dry air takes it out.
//   - The pores of an emptied coat close with a time of their own (Closing): as
//     long as they are open, vapour from coats below and from the binder passes.
//   - A mask is a resistance in front of the face; paint over a primer is one
//     more coat.
//   - The skin: particles that the falling surface meets pile up under it,
//     because they diffuse slower than it falls (Routh and Zimmerman 2004,
//     Chemical Engineering Science 59, 2961-2968, large Peclet number). The
//     piled share of a coat is then the share of the water that has to go until
//     the particles touch throughout. A coat is tack free when the piled share
//     reaches TackShare, long before the body has dried.
//
// Heat is stored nowhere: film and face settle within minutes, board and air
// are taken as they are, and the back as insulated. A board brought from the
// cold is not followed.
//
// # What it refuses
//
// It is not for coats that cure by solvent or reaction, for wood or other boards
// that drink, or for film temperatures outside -40 to 100 C; a NaN or a value
// outside its stated range is an error. It does not say what is too wet for a
// step, and it draws no uncertain inputs: one call is one draw. Materials differ
// by a factor of two and more from the generic values, most of which have no
// source.
//
// # Where it sits
//
// It uses exchange, moistair, uncertain and quantity. SI throughout: m, s, K,
// kg/m2 of face; relative humidity and water content (kg water for each kg of
// dry film) are fractions.
package drying
